#include "app/printed/printed.h"

#include <algorithm>

#include "app/compare/change_read.h"
#include "app/joint/criteria.h"
#include "app/printed/stamp_of.h"
#include "vision/base/says.h"

namespace app::printed {
namespace {

long OverruledIn(const joint::Verdict& verdict) {
  return std::count_if(verdict.findings.begin(), verdict.findings.end(),
                       [](const joint::Finding& finding) { return finding.outcome == joint::Outcome::kOverruled; });
}

/// From what was laid out; the verdict as it is on the record, never a newer one.
vision::Result<report::ReportInput> InputFrom(const book::LaidReading& laid) {
  const auto& joint = laid.joint;
  auto set = joint::LoadCriteria(joint.criterion, joint.file.parent_path());
  if (!set.ok()) return set.error();
  auto input = report::InputOf(joint, laid.reading, laid.told, set.value(), laid.folder);
  const bool knows_notes = OverruledIn(laid.verdict) == OverruledIn(input.verdict);
  input.verdict = laid.verdict;
  if (!knows_notes) input.verdict.notes.push_back({vision::Says::kNotesNewer});
  return input;
}

}  // namespace

namespace {
vision::Result<std::vector<compare::SaidChange>> ChangesOf(book::Book& book, const book::Cycle& cycle,
                                                           const std::filesystem::path& folder) {
  auto files = book::LayChanges(book, cycle, folder);
  if (!files.ok()) return files.error();
  std::vector<compare::SaidChange> changes;
  for (const auto& file : files.value()) {
    auto change = compare::ReadChange(file);
    if (!change.ok()) return change.error();
    changes.push_back(std::move(change).value());
  }
  return changes;
}
}  // namespace

vision::Result<Printed> PrintOf(book::Book& book, const PrintRequest& request) {
  auto revision = book.Load(request.joint, request.revision);
  if (!revision.ok()) return revision.error();
  auto record = book::FromJson(revision.value().body, "Joint " + request.joint);
  if (!record.ok()) return record.error();
  auto laid = book::LayNewest(book, record.value(), request.cycle);
  if (!laid.ok()) return laid.error();
  auto stamp = StampOf(book, revision.value(), record.value(), request.cycle);
  if (!stamp.ok()) return stamp.error();
  laid.value().told.recorded.revision = static_cast<long>(revision.value().number);
  auto input = InputFrom(laid.value());
  if (!input.ok()) return input.error();
  input.value().stamp = std::move(stamp).value();
  auto changes = ChangesOf(book, *record.value().FindCycle(request.cycle), laid.value().folder);
  if (!changes.ok()) return changes.error();
  input.value().changes = std::move(changes).value();
  return Printed{std::move(revision).value(), std::move(record).value(), std::move(laid).value(),
                 std::move(input).value()};
}

}  // namespace app::printed
