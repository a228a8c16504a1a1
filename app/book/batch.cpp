#include "app/book/batch.h"

#include <atomic>
#include <chrono>
#include <cmath>
#include <condition_variable>
#include <mutex>
#include <thread>

#include "app/book/digest.h"
#include "app/book/findings.h"
#include "app/book/intake.h"
#include "app/book/layout.h"
#include "app/joint/verdict.h"
#include "app/measure/measure_joint.h"

namespace app::book {

namespace {
namespace fs = std::filesystem;

/// Renews a claim every third of its life, on a connection of its own, while the worker measures.
class Heartbeat {
 public:
  Heartbeat(const std::string& address, const Claim& claim, const QueueOptions& options)
      : thread_([this, address, claim, options](const std::stop_token& stop) {
          auto book = Book::Open(address);
          if (!book.ok()) return;
          std::unique_lock lock(mutex_);
          const auto pause = std::chrono::duration<double>(options.lease_s / 3);
          while (!wake_.wait_for(lock, stop, pause, [] { return false; }) && !stop.stop_requested()) {
            auto renewed = Renew(*book.value(), claim, options);
            if (renewed.ok() && !renewed.value()) return;
          }
        }) {}

 private:
  std::mutex mutex_;
  std::condition_variable_any wake_;
  std::jthread thread_;  // last member: ends first
};

std::vector<std::string> SourcesOf(const RecordingEntry& recording) {
  std::vector<std::string> sources{recording.joint_file.sha256};
  for (const auto& file : recording.files) sources.push_back(file.sha256);
  return sources;
}

vision::Result<FileRef> Derived(vision::Result<FileRef> ref, const std::vector<std::string>& from,
                                const std::string& settings) {
  if (!ref.ok()) return ref;
  ref.value().kind = "derived";
  ref.value().from = from;
  ref.value().settings = settings;
  return ref;
}

/// Puts the files of a result into the evidence store and their references into its entries.
vision::Status KeepFiles(Book& book, const RecordingEntry& recording, BatchResult& result) {
  const auto sources = SourcesOf(recording);
  auto reading = Derived(book.evidence().Keep(result.reading_json, "reading.json"), sources, result.settings);
  if (!reading.ok()) return reading.error();
  result.reading.reading = reading.value();
  for (const auto& picture : result.pictures) {
    auto ref = Derived(book.evidence().Copy(picture), sources, result.settings);
    if (!ref.ok()) return ref.error();
    result.reading.pictures.push_back(ref.value());
  }
  if (result.verdict.criterion.empty()) return std::nullopt;
  auto verdict = Derived(book.evidence().Keep(result.verdict_json, "verdict.json"), {reading.value().sha256},
                         "judged by " + result.verdict.criterion);
  if (!verdict.ok()) return verdict.error();
  result.verdict.file = verdict.value();
  result.verdict.reading = reading.value().sha256;
  return std::nullopt;
}

/// Adds the result to the newest revision. @return false when the claim was lost meanwhile.
vision::Result<bool> SaveResult(Book& book, const Claim& claim, const BatchResult& result) {
  while (true) {  // a person who saved meanwhile is never in the way: a result is only added
    auto head = book.Load(claim.joint);
    if (!head.ok()) return head.error();
    auto record = FromJson(head.value().body, "Joint " + claim.joint);
    if (!record.ok()) return record.error();
    Cycle* cycle = record.value().FindCycle(claim.cycle);
    if (cycle == nullptr) return vision::BadInput("Joint " + claim.joint + " has no cycle " + claim.cycle + ".");
    cycle->readings.push_back(result.reading);
    if (!result.verdict.criterion.empty()) cycle->verdicts.push_back(result.verdict);
    cycle->findings.insert(cycle->findings.end(), result.findings.begin(), result.findings.end());
    auto outcome = book.Save({std::move(record).value(), head.value().number, "rootscroll batch",
                              "measured recording " + claim.recording + " of " + claim.cycle, [&](Database& database) {
                                return Finish(database, claim, result.reading.reading.sha256);
                              }});
    if (!outcome.ok()) return outcome.error();
    if (outcome.value().saved) return true;
    if (!outcome.value().conflict) return false;
  }
}

struct Claimed {
  Cycle cycle;
  RecordingEntry recording;
};

vision::Result<Claimed> FindRecording(Book& book, const Claim& claim) {
  auto record = book.LoadRecord(claim.joint);
  if (!record.ok()) return record.error();
  if (const Cycle* cycle = record.value().FindCycle(claim.cycle))
    for (const auto& recording : cycle->recordings)
      if (recording.id == claim.recording) return Claimed{*cycle, recording};
  return vision::NotFound("Joint " + claim.joint + ", " + claim.cycle + " no longer names the recording " +
                          claim.recording + ".");
}

vision::Result<BatchResult> MeasureClaim(Book& book, const Claim& claim, const MeasureFunction& measure,
                                         const vision::JobContext& job) {
  auto claimed = FindRecording(book, claim);
  if (!claimed.ok()) return claimed.error();
  auto work = WorkFolder::Lay(book, claimed.value().recording);
  if (!work.ok()) return work.error();
  if (auto failed = LayNotes(book, claimed.value().cycle, work.value().joint_file())) return *failed;
  auto result = measure(work.value().joint_file(), claim.recording, work.value().out(), job);
  if (!result.ok()) return result;
  if (auto failed = KeepFiles(book, claimed.value().recording, result.value())) return *failed;
  return result;
}

/// One claim from measuring to the record.
vision::Status DoClaim(Book& book, const Claim& claim, const MeasureFunction& measure, const QueueOptions& options,
                       const vision::JobContext& job, WorkerReport& report) {
  const Heartbeat heartbeat(book.database().address().text, claim, options);
  auto result = MeasureClaim(book, claim, measure, job);
  if (!result.ok() && result.cancelled()) {
    auto freed = GiveBack(book, claim.worker);
    return freed.ok() ? result.error() : freed.error();
  }
  if (!result.ok()) {
    ++report.set_aside;
    return SetAside(book, claim, result.error().message);
  }
  auto saved = SaveResult(book, claim, result.value());
  if (!saved.ok() && saved.error().code == vision::ErrorCode::kBadInput) {  // the record cannot take it as it stands
    ++report.set_aside;
    return SetAside(book, claim, saved.error().message);
  }
  if (!saved.ok()) return saved.error();
  ++(saved.value() ? report.measured : report.lost);
  return std::nullopt;
}
}  // namespace

vision::Result<WorkerReport> RunWorker(Book& book, const std::string& worker, const MeasureFunction& measure,
                                       const QueueOptions& options, const vision::JobContext& job) {
  WorkerReport report;
  while (!job.Cancelled()) {
    auto claim = ClaimNext(book, worker, options);
    if (!claim.ok()) return claim.error();
    if (claim.value()) {
      if (auto failed = DoClaim(book, *claim.value(), measure, options, job, report)) return *failed;
      continue;
    }
    auto counts = QueueCounts(book, options.joint);
    if (!counts.ok()) return counts.error();
    if (counts.value()["pending"] + counts.value()["claimed"] == 0) return report;
    std::this_thread::sleep_for(std::chrono::milliseconds(200));  // another worker's claim may yet come free
  }
  return vision::Cancelled();
}

namespace {
std::string SettingsText(const vision::reading::MeasureOptions& options) {
  char text[300];
  std::snprintf(text, sizeof text,
                "rootscroll " ROOTSCROLL_VERSION
                ": pitch_mm %g, zone_mm %g, coarsest_for_fusion_mm %g, video_frames %d, max_frames %d, "
                "max_expanded_uncertainty_mm crown %g, concavity %g",
                options.pitch_mm, options.zone_mm, options.coarsest_for_fusion_mm, options.video_frames,
                options.max_frames, options.max_expanded_uncertainty_mm.crown_height_mm,
                options.max_expanded_uncertainty_mm.concavity_mm);
  return text;
}
}  // namespace

MeasureFunction MeasureAndJudge(const vision::reading::MeasureOptions& options) {
  return [options](const fs::path& joint_file, const std::string& recording, const fs::path& out,
                   const vision::JobContext& job) -> vision::Result<BatchResult> {
    auto done = measure::MeasureJoint(joint_file, {recording}, {options, {}, {}}, job);
    if (!done.ok()) return done.error();
    const auto& [joint, criteria, used, measured] = done.value();
    const auto& reading = measured.reading;
    const auto told = app::known::NotesBeside(joint);  // as laid from the record
    if (!told.ok()) return told.error();
    const auto known = app::known::Know(reading, told.value().notes, told.value().recorded);
    auto verdict = app::known::Judge(known, joint, criteria);
    if (auto failed = vision::reading::WritePictures(measured, out)) return *failed;
    BatchResult result;
    result.reading_json = vision::reading::ToJson(reading);
    for (const auto& picture : measured.pictures) result.pictures.push_back(out / picture.name);
    result.reading.recordings = {recording};
    result.reading.program_version = reading.program_version;
    result.reading.made_at = NowUtc();
    result.reading.weld_found = reading.weld_found;
    verdict.reading_sha256 = Sha256(result.reading_json);
    result.verdict_json = app::joint::ToJson(verdict);
    result.verdict = {verdict.criterion,
                      verdict.standard,
                      verdict.edition,
                      verdict.disposition,
                      verdict.decided_by,
                      verdict.exit_code,
                      {},
                      {}};
    result.findings = FindingsOf(known);
    result.settings = SettingsText(used);
    return result;
  };
}

}  // namespace app::book
