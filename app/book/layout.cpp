#include "app/book/layout.h"

#include <algorithm>

#include "app/book/text_gate.h"
#include "app/notes/keeper.h"
#include "vision/base/file.h"
#include "vision/base/text.h"

namespace app::book {

namespace {
namespace fs = std::filesystem;

/// Copies a derived file under its name, after its hash was looked at.
vision::Status Lay(Book& book, const FileRef& ref, const fs::path& folder) {
  auto bytes = book.evidence().Read(ref);
  if (!bytes.ok()) return bytes.error();
  if (!IsPlainName(ref.name))
    return vision::BadInput("The record calls a file " + vision::Printable(ref.name) +
                            "; a name without a folder is wanted, nothing was laid out.");
  std::error_code failed;
  fs::create_symlink(fs::absolute(book.evidence().PathOf(ref)), folder / ref.name, failed);
  if (failed)
    return vision::Error{vision::ErrorCode::kIo, "Cannot lay out " + ref.name + ": " + failed.message() + "."};
  return std::nullopt;
}

const RecordingEntry* RecordingOf(const Cycle& cycle, const ReadingEntry& reading) {
  for (const auto& recording : cycle.recordings)
    if (std::find(reading.recordings.begin(), reading.recordings.end(), recording.id) != reading.recordings.end())
      return &recording;
  return nullptr;
}

const VerdictEntry* VerdictOf(const Cycle& cycle, const ReadingEntry& reading) {
  for (auto verdict = cycle.verdicts.rbegin(); verdict != cycle.verdicts.rend(); ++verdict)
    if (verdict->reading == reading.reading.sha256) return &*verdict;
  return nullptr;
}

std::vector<NamedFile> StillsOf(Book& book, const app::joint::Joint& joint, const RecordingEntry& recording) {
  std::vector<NamedFile> stills;
  for (const auto& own : joint.recordings)
    for (const auto& frame : own.frames)
      for (const auto& file : recording.files)
        if (frame.file.filename() == file.name && frame.file.parent_path().filename() == file.sha256.substr(0, 8))
          stills.push_back({book.evidence().PathOf(file), file.name});
  return stills;
}
}  // namespace

vision::Result<LaidReading> LayNewest(Book& book, const Record& record, const std::string& cycle_id,
                                      const fs::path& named) {
  Record copy = record;
  const Cycle* cycle = copy.FindCycle(cycle_id);
  const std::string which = "Joint " + record.joint + ", " + cycle_id;
  if (cycle == nullptr || cycle->readings.empty())
    return vision::NotFound(which + " has no reading yet; run `rootscroll batch` on the book.");
  const ReadingEntry& entry = cycle->readings.back();
  const RecordingEntry* recording = RecordingOf(*cycle, entry);
  const VerdictEntry* verdict_entry = VerdictOf(*cycle, entry);
  if (recording == nullptr || verdict_entry == nullptr)
    return vision::NotFound(which + ": the newest reading has no recording or no verdict in the record.");
  auto work = WorkFolder::Lay(book, *recording, named);
  if (!work.ok()) return work.error();
  auto joint = app::joint::LoadJoint(work.value().joint_file());
  if (!joint.ok()) return joint.error();
  auto text = book.evidence().Read(entry.reading);
  if (!text.ok()) return text.error();
  auto reading = vision::reading::FromJson(text.value(), which + ", reading.json");
  if (!reading.ok()) return reading.error();
  auto verdict_text = book.evidence().Read(verdict_entry->file);
  if (!verdict_text.ok()) return verdict_text.error();
  auto verdict = app::joint::VerdictFromJson(verdict_text.value(), which + ", verdict.json");
  if (!verdict.ok()) return verdict.error();
  const fs::path folder = work.value().out();
  std::error_code ignored;
  fs::create_directories(folder, ignored);
  for (const auto& picture : entry.pictures)
    if (auto failed = Lay(book, picture, folder)) return *failed;
  std::error_code taken;
  fs::create_symlink(fs::absolute(book.evidence().PathOf(entry.reading)), folder / "reading.json", taken);
  if (taken) return vision::Error{vision::ErrorCode::kIo, "Cannot lay out reading.json: " + taken.message() + "."};
  auto told = ToldIn(book, *cycle, record.joint);
  if (!told.ok()) return told.error();
  auto stills = StillsOf(book, joint.value(), *recording);
  return LaidReading{std::move(work).value(),    folder,
                     std::move(joint).value(),   std::move(reading).value(),
                     std::move(verdict).value(), std::move(told).value(),
                     std::move(stills),          entry.reading.settings,
                     entry.reading.sha256};
}

vision::Result<app::known::Told> ToldIn(Book& book, const Cycle& cycle, const std::string& joint_id) {
  app::known::Told told;
  told.notes.joint_id = joint_id;
  told.recorded = {app::known::Recorded::Where::kBook, cycle.id, 0};
  if (cycle.notes.empty()) return told;
  const auto text = book.evidence().Read(cycle.notes.back());
  if (!text.ok()) return text.error();
  auto notes = app::notes::FromJson(text.value(), cycle.notes.back().name);
  if (!notes.ok()) return notes.error();
  told.notes = std::move(notes).value();
  return told;
}

vision::Status LayNotes(Book& book, const Cycle& cycle, const fs::path& joint_file) {
  if (cycle.notes.empty()) return std::nullopt;
  const auto text = book.evidence().Read(cycle.notes.back());
  if (!text.ok()) return text.error();
  return vision::WriteFileWhole(app::notes::Keeper(joint_file).saved(), text.value());
}

vision::Result<std::vector<fs::path>> LayChanges(Book& book, const Cycle& cycle, const fs::path& folder) {
  std::vector<fs::path> files;
  for (std::size_t i = 0; i < cycle.changes.size(); ++i) {
    const fs::path own = folder / ("change_" + std::to_string(i + 1));
    std::error_code ignored;
    fs::create_directories(own, ignored);
    if (auto failed = Lay(book, cycle.changes[i].change, own)) return *failed;
    for (const auto& picture : cycle.changes[i].pictures)
      if (auto failed = Lay(book, picture, own)) return *failed;
    files.push_back(own / fs::path(cycle.changes[i].change.name).filename());
  }
  return files;
}

}  // namespace app::book
