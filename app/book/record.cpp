#include "app/book/record.h"

#include <QDate>
#include <QDateTime>
#include <algorithm>

#include "app/book/text_gate.h"
#include "vision/base/text.h"

namespace app::book {

std::string Cycle::Disposition() const { return verdicts.empty() ? std::string() : verdicts.back().disposition; }

Cycle* Record::FindCycle(const std::string& id) {
  const auto at = std::find_if(cycles.begin(), cycles.end(), [&](const Cycle& cycle) { return cycle.id == id; });
  return at == cycles.end() ? nullptr : &*at;
}

namespace {
void AddFiles(const Cycle& cycle, std::vector<const FileRef*>& files) {
  const auto all = [&files](const std::vector<FileRef>& refs) {
    for (const auto& ref : refs) files.push_back(&ref);
  };
  for (const auto& recording : cycle.recordings) files.push_back(&recording.joint_file), all(recording.files);
  for (const auto& reading : cycle.readings) files.push_back(&reading.reading), all(reading.pictures);
  for (const auto& verdict : cycle.verdicts) files.push_back(&verdict.file);
  for (const auto& report : cycle.reports) all(report.files);
  if (cycle.purge.source) files.push_back(&*cycle.purge.source);
  all(cycle.film);
  all(cycle.samples);
  for (const auto& repair : cycle.repairs)
    files.push_back(&repair.file), files.push_back(&repair.plan), all(repair.cards);
  for (const auto& change : cycle.changes) files.push_back(&change.change), all(change.pictures);
  all(cycle.notes);
}

bool IsHash(const std::string& text) {
  return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

vision::Status CheckFile(const std::string& joint, const FileRef& file) {
  const std::string which = "Joint " + joint + ", file " + vision::Printable(file.name) + ": ";
  if (!IsPlainName(file.name))
    return vision::BadInput(which + "name must be a file's name without a folder, at most 255 bytes.");
  if (file.bytes < 0) return vision::BadInput(which + "bytes must be 0 or more.");
  if (!IsHash(file.sha256)) return vision::BadInput(which + "sha256 must be 64 small hexadecimal digits.");
  if (file.kind != "original" && file.kind != "derived")
    return vision::BadInput(which + "kind must be original or derived.");
  if (file.held != "copied" && file.held != "referenced")
    return vision::BadInput(which + "held must be copied or referenced.");
  if (file.held == "referenced" && file.path.empty())
    return vision::BadInput(which + "a referenced file must have its path.");
  if (file.kind == "derived" && (file.from.empty() || file.settings.empty()))
    return vision::BadInput(which + "a derived file must name what it was made from and with which settings.");
  return std::nullopt;
}
}  // namespace

std::vector<const FileRef*> Record::Files() const {
  std::vector<const FileRef*> files;
  for (const auto& cycle : cycles) AddFiles(cycle, files);
  return files;
}

vision::Status Record::Check() const {
  if (joint.empty()) return vision::BadInput("The record has no joint id; `joint` must name the joint.");
  if (auto wrong = CheckNamed("The joint id", joint, kMostId)) return wrong;
  if (auto wrong = CheckTextsOf(*this)) return wrong;
  for (std::size_t i = 0; i < cycles.size(); ++i) {
    const std::string wanted = "R" + std::to_string(i);
    if (cycles[i].id != wanted)
      return vision::BadInput("Joint " + joint + ": cycle " + std::to_string(i + 1) + " is called " + cycles[i].id +
                              "; it must be " + wanted + ".");
    if (!cycles[i].welded_on.empty() && !IsDate(cycles[i].welded_on))
      return vision::BadInput("Joint " + joint + ", cycle " + wanted + ": welded_on is " + cycles[i].welded_on +
                              "; it must be a date such as 2026-01-31.");
    for (const auto& finding : cycles[i].findings)
      if (finding.state != "open" && finding.state != "closed")
        return vision::BadInput("Joint " + joint + ", cycle " + wanted + ": a finding's state must be open or closed.");
  }
  for (const auto* file : Files())
    if (auto wrong = CheckFile(joint, *file)) return wrong;
  return std::nullopt;
}

std::string NowUtc() { return QDateTime::currentDateTimeUtc().toString(Qt::ISODate).toStdString(); }

bool IsDate(const std::string& text) {
  return text.size() == 10 && QDate::fromString(QString::fromStdString(text), "yyyy-MM-dd").isValid();
}

}  // namespace app::book
