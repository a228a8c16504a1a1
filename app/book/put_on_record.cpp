#include "app/book/put_on_record.h"

#include <algorithm>

#include "app/book/digest.h"
#include "app/book/notes_taken.h"
#include "app/joint/joint.h"

namespace app::book {
namespace {

namespace fs = std::filesystem;

struct Base {
  Record record;
  std::int64_t number = 0;  ///< Of its revision; 0: the joint is new to the book.
};

vision::Result<Base> BaseOf(Book& book, const std::string& joint) {
  auto revision = book.Load(joint);
  if (!revision.ok() && revision.error().code == vision::ErrorCode::kNotFound) return Base{};
  if (!revision.ok()) return revision.error();
  auto record = FromJson(revision.value().body, "Joint " + joint);
  if (!record.ok()) return record.error();
  return Base{std::move(record).value(), revision.value().number};
}

/// Leaves out of the request what the cycle holds already.
vision::Status LeaveOut(const Cycle& cycle, IntakeRequest& intake) {
  for (const auto& entry : cycle.recordings) {
    const auto at = std::find(intake.recordings.begin(), intake.recordings.end(), entry.id);
    if (at == intake.recordings.end()) continue;
    const auto own = OwnJointFile(intake.joint_file, entry.id);
    if (!own.ok()) return own.error();
    if (Sha256(own.value()) != entry.joint_file.sha256)
      return vision::BadInput("Recording " + entry.id + " of " + cycle.id +
                              " lies in the book with other facts than the joint has now; to have it measured by those "
                              "of now, the joint must name it by another id.");
    intake.recordings.erase(at);
  }
  return std::nullopt;
}

bool NotesAreNew(const Cycle& cycle, const fs::path& file) {
  std::error_code absent;
  if (file.empty() || !fs::exists(file, absent)) return false;
  const auto sum = Sha256OfFile(file);
  return !sum.ok() || cycle.notes.empty() || cycle.notes.back().sha256 != sum.value();
}

vision::Status SaveOver(Book& book, const Base& base, const OnRecordRequest& request, const std::string& joint) {
  auto outcome = book.Save({base.record, base.number, request.author, request.reason, {}});
  if (!outcome.ok()) return outcome.error();
  if (outcome.value().conflict)
    return vision::BadInput("Somebody else changed joint " + joint + " in the book meanwhile; nothing was saved.");
  return std::nullopt;
}

/// Recordings and notes, as one revision; none where there is nothing new.
vision::Status TakeAll(Book& book, const OnRecordRequest& request, const std::string& joint) {
  auto base = BaseOf(book, joint);
  if (!base.ok()) return base.error();
  Record& record = base.value().record;
  IntakeRequest intake = request.intake;
  if (const Cycle* cycle = record.FindCycle(intake.cycle))
    if (auto wrong = LeaveOut(*cycle, intake)) return wrong;
  bool changed = false;
  if (!intake.recordings.empty()) {
    if (auto wrong = TakeIn(book, intake, record)) return wrong;
    changed = true;
  }
  if (const Cycle* cycle = record.FindCycle(intake.cycle); cycle != nullptr && NotesAreNew(*cycle, request.notes)) {
    if (auto wrong = TakeNotes(book, record, intake.cycle, request.notes)) return wrong;
    changed = true;
  }
  return changed ? SaveOver(book, base.value(), request, joint) : std::nullopt;
}

/// Why a recording of the joint cannot be measured; nullopt where all are.
vision::Status TroubleOf(Book& book, const std::string& joint) {
  auto rows = book.database().Run("SELECT id, trouble FROM recording WHERE state = 'failed' AND joint = ?", {joint});
  if (!rows.ok()) return rows.error();
  if (rows.value().empty()) return std::nullopt;
  return vision::BadInput("Recording " + rows.value().front().Text(0) +
                          " cannot be measured: " + rows.value().front().Text(1));
}

}  // namespace

vision::Result<Revision> PutOnRecord(Book& book, const OnRecordRequest& request, const MeasureFunction& measure,
                                     const vision::JobContext& job) {
  const auto joint = joint::LoadJoint(request.intake.joint_file);
  if (!joint.ok()) return joint.error();
  const std::string id = joint.value().id;
  job.Report(0, "into the book");
  if (auto wrong = TakeAll(book, request, id)) return *wrong;
  QueueOptions queue;
  queue.joint = id;
  auto measured = RunWorker(book, request.worker, measure, queue, job.Part(0.05, 0.95));
  if (!measured.ok()) return measured.error();
  if (auto trouble = TroubleOf(book, id)) return *trouble;
  return book.Load(id);
}

}  // namespace app::book
