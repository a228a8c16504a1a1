#include "app/book/notes_taken.h"

#include "app/book/findings.h"
#include "app/book/layout.h"
#include "app/joint/criteria.h"
#include "app/known/known.h"
#include "app/notes/notes.h"
#include "vision/base/file.h"

namespace app::book {
namespace {

/// The verdict on the newest reading with the notes that were just put on the record, and the findings after it.
vision::Status JudgeAnew(Book& book, Record& record, Cycle& cycle, const FileRef& notes) {
  auto laid = LayNewest(book, record, cycle.id);
  if (!laid.ok()) return laid.error();
  const auto& joint = laid.value().joint;
  auto set = joint::LoadCriteria(joint.criterion, joint.file.parent_path());
  if (!set.ok()) return set.error();
  const auto known = known::Know(laid.value().reading, laid.value().told.notes, laid.value().told.recorded);
  auto verdict = known::Judge(known, joint, set.value());
  verdict.reading_sha256 = laid.value().reading_sha256;
  auto ref = book.evidence().Keep(joint::ToJson(verdict), "verdict.json");
  if (!ref.ok()) return ref.error();
  ref.value().kind = "derived";
  ref.value().from = {laid.value().reading_sha256, notes.sha256};
  ref.value().settings = "judged by " + verdict.criterion + " with notes";
  cycle.verdicts.push_back({verdict.criterion, verdict.standard, verdict.edition, verdict.disposition,
                            verdict.decided_by, verdict.exit_code, laid.value().reading_sha256, ref.value()});
  BringUp(known, cycle.findings);
  return std::nullopt;
}

}  // namespace

vision::Status TakeNotes(Book& book, Record& record, const std::string& cycle_id, const std::filesystem::path& file) {
  Cycle* cycle = record.FindCycle(cycle_id);
  if (cycle == nullptr) return vision::NotFound("Joint " + record.joint + " has no cycle " + cycle_id + ".");
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  auto notes = notes::FromJson(text.value(), file.string());
  if (!notes.ok()) return notes.error();
  if (notes.value().joint_id != record.joint)
    return vision::BadInput(file.string() + ": joint_id is " + notes.value().joint_id + "; it must be " + record.joint +
                            ".");
  auto ref = book.evidence().Copy(file);
  if (!ref.ok()) return ref.error();
  cycle->notes.push_back(ref.value());
  if (cycle->readings.empty()) return std::nullopt;
  return JudgeAnew(book, record, *cycle, ref.value());
}

}  // namespace app::book
