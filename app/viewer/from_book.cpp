#include "app/viewer/from_book.h"

#include "app/book/digest.h"
#include "app/book/layout.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;

/// The newest cycle with a reading; empty = none.
std::string NewestRead(const book::Record& record) {
  for (auto cycle = record.cycles.rbegin(); cycle != record.cycles.rend(); ++cycle)
    if (!cycle->readings.empty()) return cycle->id;
  return {};
}

/// What people wrote that is on the record, unless something lies there already.
vision::Status LayNotesOnce(book::Book& book, const book::Cycle& cycle, const fs::path& joint_file) {
  fs::path notes = joint_file;
  notes.replace_extension(".notes.json");
  std::error_code failed;
  if (fs::exists(notes, failed)) return std::nullopt;
  return book::LayNotes(book, cycle, joint_file);
}

}  // namespace

vision::Result<std::vector<book::JointLine>> JointsOf(const std::string& address, const std::string& part) {
  auto book = book::Book::Open(address, {.read_only = true, .evidence_folder = {}});
  if (!book.ok()) return book.error();
  book::FindFilter filter;
  filter.joint = part;
  return book::Find(*book.value(), filter);
}

vision::Result<Request> LayOut(const BookEntry& entry, const fs::path& root) {
  auto book = book::Book::Open(entry.address, {.read_only = true, .evidence_folder = {}});
  if (!book.ok()) return book.error();
  const auto revision = book.value()->Load(entry.joint);
  if (!revision.ok()) return revision.error();
  auto record = book::FromJson(revision.value().body, "Joint " + entry.joint);
  if (!record.ok()) return record.error();
  const std::string cycle = entry.cycle.empty() ? NewestRead(record.value()) : entry.cycle;
  if (cycle.empty())
    return vision::NotFound("Joint " + entry.joint + " has no reading yet; run `rootscroll batch` on the book.");
  // A name per book, joint, cycle and reading: notes never meet another measurement.
  const auto* found = record.value().FindCycle(cycle);
  const std::string reading = found && !found->readings.empty() ? found->readings.back().reading.sha256 : "";
  const fs::path folder =
      root / book::Sha256(entry.address + '\n' + entry.joint + '\n' + cycle + '\n' + reading).substr(0, 16);
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  auto laid = book::LayNewest(*book.value(), record.value(), cycle, folder);
  if (!laid.ok()) return laid.error();
  if (auto failed = LayNotesOnce(*book.value(), *record.value().FindCycle(cycle), laid.value().work.joint_file()))
    return *failed;
  Request request{laid.value().work.joint_file(), laid.value().folder};
  request.came_from = cycle + " of " + entry.joint + ", revision " + std::to_string(revision.value().number) + " of " +
                      fs::path(entry.address).filename().string();
  return request;
}

}  // namespace app::viewer
