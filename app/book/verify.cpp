#include "app/book/verify.h"

#include "app/book/digest.h"
#include "app/book/guards.h"
#include "app/book/judged.h"
#include "app/book/text_gate.h"
#include "app/book/verify_walk.h"
#include "vision/base/text.h"

namespace app::book {

namespace {
constexpr std::int64_t kPage = 500;  // revisions in memory at a time

std::string Named(const std::string& joint, std::int64_t number) {
  return "Joint " + joint + ", revision " + std::to_string(number);
}
}  // namespace

void Walk::CheckRevision(const Revision& revision) {
  const std::string name = Named(revision.joint, revision.number);
  if (revision.joint != joint_) joint_ = revision.joint, parent_.clear(), number_ = 0;
  if (revision.number != number_ + 1)
    Add("revision", name + " follows revision " + std::to_string(number_) + ": one is missing.");
  if (revision.parent != parent_) Add("revision", name + " does not follow from the revision before it.");
  const std::string hash = revision.ComputeHash();
  if (hash != revision.hash) Add("revision", name + " is no longer what was saved: its SHA-256 differs.");
  number_ = revision.number;
  parent_ = revision.hash;
  items_.insert(revision.hash);
  hashes_[{revision.joint, revision.number}] = hash;
  ++report_.revisions;
  Told& told = told_[revision.joint];
  auto record = FromJson(revision.body, name);
  if (!record.ok()) return Add("revision", record.error().message);
  if (record.value().joint != revision.joint)
    Add("revision", name + " holds the record of another joint, " + record.value().joint + ".");
  for (const auto* file : record.value().Files()) {
    files_.try_emplace(file->sha256 + file->kind + file->held + file->path + std::to_string(file->bytes), *file, name);
    told.files[file->sha256].insert(file->name);
  }
  for (const auto& cycle : record.value().cycles)
    for (const auto& recording : cycle.recordings) told.recordings.insert({cycle.id, recording.id});
}

vision::Status Walk::Revisions() {
  auto count = Ask("SELECT count(*) FROM revision");
  if (!count.ok()) return count.error();
  const double total = static_cast<double>(std::max<std::int64_t>(1, count.value().front().Int(0)));
  std::string joint;
  std::int64_t number = 0;
  while (true) {
    auto rows =
        Ask("SELECT joint, number, author, login, made_at, reason, parent, hash, body FROM revision WHERE "
            "joint > ? OR (joint = ? AND number > ?) ORDER BY joint, number LIMIT ?",
            {joint, joint, number, kPage});
    if (!rows.ok()) return rows.error();
    if (rows.value().empty()) break;
    for (const auto& row : rows.value())
      CheckRevision({row.Text(0), row.Int(1), row.Text(2), row.Text(3), row.Text(4), row.Text(5), row.Text(6),
                     row.Text(7), row.Text(8)});
    joint = rows.value().back().Text(0);
    number = rows.value().back().Int(1);
    if (job_.Cancelled()) return vision::Cancelled();
    job_.Report(0.4 * static_cast<double>(report_.revisions) / total, "revisions");
  }
  if (report_.revisions != count.value().front().Int(0))
    Add("revision", "The book counts " + std::to_string(count.value().front().Int(0)) + " revisions and shows " +
                        std::to_string(report_.revisions) + ".");
  return std::nullopt;
}

/// What only the newest revision of a joint is held to: a later one mends it.
void Walk::CheckNewest(const Revision& revision, const Record& record) {
  const std::string name = Named(revision.joint, revision.number);
  for (const auto& wrong : {CheckTextsOf(record), CheckText("Its author", revision.author),
                            CheckText("Its reason", revision.reason), CheckText("Its joint id", revision.joint)})
    if (wrong) Remark("text", name + ": " + wrong->message);
  if (!options_.evidence) return;
  for (const auto& cycle : record.cycles)
    for (const auto& verdict : cycle.verdicts)
      if (const auto fault = VerdictFault(verdict, cycle, book_.evidence(), false); !fault.empty())
        Add("verdict",
            name + ", " + cycle.id + ": the verdict \"" + verdict.disposition + "\" is not borne out: " + fault + ".");
}

void Walk::CheckFile(const FileRef& file, const std::string& named_in) {
  const std::string what = file.kind == "derived" ? "derived" : "original";
  const auto path = book_.evidence().PathOf(file);
  const std::string name =
      "The " + what + " file " + file.name + " (" + path.string() + "), named in " + named_in + ", ";
  std::error_code failed;
  const auto status = std::filesystem::symlink_status(path, failed);
  if (!std::filesystem::exists(status)) return Add(what, name + "is missing.");
  const bool in_store = path == book_.evidence().PathOf(file.sha256);
  if (in_store && !std::filesystem::is_regular_file(status)) return Add(what, name + "is no regular file.");
  auto hash = Sha256OfFile(path);
  if (!hash.ok()) return Add(what, name + "cannot be read, or is no regular file.");
  if (hash.value() != file.sha256)
    Add(what, name + "has changed: its SHA-256 differs.");
  else if (static_cast<std::int64_t>(std::filesystem::file_size(path, failed)) != file.bytes)
    Add(what, name + "is not as large as the record says.");
  ++report_.files;
  report_.bytes += file.bytes;
}

vision::Status Walk::Files() {
  double done = 0;
  std::set<std::filesystem::path> named;
  for (const auto& [key, entry] : files_) {
    CheckFile(entry.first, entry.second);
    named.insert(book_.evidence().PathOf(entry.first.sha256));
    if (job_.Cancelled()) return vision::Cancelled();
    job_.Report(0.5 + 0.5 * ++done / static_cast<double>(files_.size()), "files");
  }
  for (const auto& path : book_.evidence().Everything()) {
    std::error_code failed;
    const auto status = std::filesystem::symlink_status(path, failed);
    if (named.contains(path)) continue;  // looked at above
    if (!std::filesystem::is_regular_file(status))
      Add("evidence", "The evidence store holds " + path.string() + ", which is no regular file.");
    else
      Remark("evidence", "No revision names " + path.string() + ", which lies in the evidence store.");
  }
  return std::nullopt;
}

vision::Result<VerifyReport> Walk::Run() {
  if (auto damaged = book_.database().CheckIntegrity(true)) Add("database", damaged->message);
  auto snapshot = Transaction::Begin(book_.database(), TransactionKind::kRead);
  if (!snapshot.ok()) return snapshot.error();
  for (auto part :
       {&Walk::Revisions, &Walk::Tables, &Walk::Queue, &Walk::Keys, &Walk::SignedOff, &Walk::Times, &Walk::Journal})
    if (auto failed = (this->*part)()) return *failed;
  auto guards = GuardFaults(book_.database());
  if (!guards.ok()) return guards.error();
  for (const auto& fault : guards.value()) Add("guard", fault);
  if (auto failed = snapshot.value()->Commit()) return *failed;
  if (options_.evidence)
    if (auto failed = Files()) return *failed;
  job_.Report(1, "verified");
  return std::move(report_);
}

vision::Result<VerifyReport> Verify(Book& book, const VerifyOptions& options, const vision::JobContext& job) {
  if (!options.seal.empty() && options.seal.find_first_not_of("0123456789abcdef") != std::string::npos)
    return vision::BadInput("A seal is 64 small hexadecimal digits, as `book seal` prints them.");
  return Walk(book, options, job).Run();
}

}  // namespace app::book
