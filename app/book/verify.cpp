#include "app/book/verify.h"

#include <map>
#include <set>

#include "app/book/digest.h"
#include "app/book/projection.h"
#include "app/book/signoff.h"

namespace app::book {

namespace {
constexpr std::int64_t kPage = 500;  // revisions in memory at a time

std::string Named(const std::string& joint, std::int64_t number) {
  return "Joint " + joint + ", revision " + std::to_string(number);
}

/// The walk over a book; each part adds its faults.
class Walk {
 public:
  Walk(Book& book, const VerifyOptions& options, const vision::JobContext& job)
      : book_(book), options_(options), job_(job) {}

  vision::Result<VerifyReport> Run();

 private:
  vision::Status Revisions();
  void CheckRevision(const Revision& revision);
  vision::Status Tables();
  vision::Status SignOffsAndKeys();
  vision::Status Journal();
  vision::Status Files();
  void CheckFile(const FileRef& file, const std::string& named_in);
  void Add(const std::string& what, const std::string& text) { report_.faults.push_back({what, text}); }
  vision::Result<Rows> Ask(const std::string& sql, const std::vector<Value>& values = {}) {
    return book_.database().Run(sql, values);
  }

  Book& book_;
  const VerifyOptions& options_;
  const vision::JobContext& job_;
  VerifyReport report_;
  std::set<std::string> items_;                                   ///< Hashes that the journal must hold.
  std::map<std::string, std::pair<FileRef, std::string>> files_;  ///< By hash, kind and place; where it is named first.
  std::map<std::pair<std::string, std::int64_t>, std::string> hashes_;
  std::string joint_, parent_;
  std::int64_t number_ = 0;
};

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
  auto record = FromJson(revision.body, name);
  if (!record.ok()) return Add("revision", record.error().message);
  for (const auto* file : record.value().Files())
    files_.try_emplace(file->sha256 + file->kind + file->held + file->path, *file, name);
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
    if (rows.value().empty()) return std::nullopt;
    for (const auto& row : rows.value())
      CheckRevision({row.Text(0), row.Int(1), row.Text(2), row.Text(3), row.Text(4), row.Text(5), row.Text(6),
                     row.Text(7), row.Text(8)});
    joint = rows.value().back().Text(0);
    number = rows.value().back().Int(1);
    if (job_.Cancelled()) return vision::Cancelled();
    job_.Report(0.4 * static_cast<double>(report_.revisions) / total, "revisions");
  }
}

vision::Status Walk::Tables() {
  auto joints = Ask("SELECT id, head FROM joint ORDER BY id");
  if (!joints.ok()) return joints.error();
  for (const auto& row : joints.value()) {
    ++report_.joints;
    auto revision = book_.Load(row.Text(0));
    if (!revision.ok()) {
      Add("revision", "Joint " + row.Text(0) + " has no revision left.");
      continue;
    }
    if (row.Int(1) > revision.value().number) Add("revision", Named(row.Text(0), row.Int(1)) + " is missing.");
    auto record = FromJson(revision.value().body, "");
    if (!record.ok()) continue;  // named already
    auto said = ProjectedText(book_.database(), row.Text(0));
    if (!said.ok()) return said.error();
    if (said.value() != ExpectedText(revision.value(), record.value()))
      Add("table", "Joint " + row.Text(0) + ": the search tables do not say what its newest revision says.");
    if (job_.Cancelled()) return vision::Cancelled();
  }
  return std::nullopt;
}

vision::Status Walk::SignOffsAndKeys() {
  auto keys = Ask("SELECT fingerprint, name, public_key, added_by, added_at FROM inspector_key");
  if (!keys.ok()) return keys.error();
  std::map<std::string, KnownKey> known;
  for (const auto& row : keys.value()) {
    const KnownKey key{row.Text(1), row.Text(2), row.Text(3), row.Text(4)};
    known[row.Text(0)] = key;
    items_.insert(key.ComputeHash());
  }
  auto rows = Ask("SELECT statement, signature, fingerprint, login, hash, joint, number FROM signoff");
  if (!rows.ok()) return rows.error();
  for (const auto& row : rows.value()) {
    SignOff signoff{{}, row.Text(0), row.Text(1), row.Text(2), row.Text(3), row.Text(4)};
    signoff.statement.joint = row.Text(5);
    signoff.statement.revision = row.Int(6);
    ++report_.signoffs;
    items_.insert(signoff.hash);
    const auto key = known.find(signoff.fingerprint);
    const auto fault = SignOffFault(signoff, hashes_[{row.Text(5), row.Int(6)}],
                                    key == known.end() ? std::nullopt : std::optional(key->second));
    const auto statement = StatementFromJson(signoff.text);
    if (!fault.empty())
      Add("signature", Named(row.Text(5), row.Int(6)) + ": the sign-off" +
                           (statement.ok() ? " by " + statement.value().name : std::string()) + " is broken: " + fault +
                           ".");
  }
  return std::nullopt;
}

vision::Status Walk::Journal() {
  auto rows = Ask("SELECT seq, kind, item, seal FROM journal ORDER BY seq");
  if (!rows.ok()) return rows.error();
  std::string seal;
  std::int64_t seq = 0;
  bool seal_found = options_.seal.empty();
  for (const auto& row : rows.value()) {
    ++seq;
    const std::string line = "The journal, line " + std::to_string(row.Int(0));
    if (row.Int(0) != seq) Add("journal", line + ": a line before it is missing.");
    seq = row.Int(0);
    if (ComputeSeal(seal, seq, row.Text(1), row.Text(2)) != row.Text(3))
      Add("journal", line + " is no longer what was written.");
    if (items_.erase(row.Text(2)) == 0)
      Add("journal", line + " names a " + row.Text(1) + " that is not in the book as it was added.");
    seal = row.Text(3);
    seal_found = seal_found || seal == options_.seal;
  }
  for (const auto& item : items_) Add("journal", "The journal does not know the entry " + item + ".");
  auto head = Ask("SELECT seq, seal FROM book_head");
  if (!head.ok()) return head.error();
  if (head.value().empty() || head.value().front().Int(0) != seq || head.value().front().Text(1) != seal)
    Add("journal", "The journal does not end where the book says it ends: lines are missing or were added.");
  if (!seal_found)
    Add("journal", "The seal " + options_.seal + " is not in the journal: the book was changed since it was noted.");
  report_.seal = seal;
  return std::nullopt;
}

void Walk::CheckFile(const FileRef& file, const std::string& named_in) {
  const std::string what = file.kind == "derived" ? "derived" : "original";
  const auto path = book_.evidence().PathOf(file);
  const std::string name =
      "The " + what + " file " + file.name + " (" + path.string() + "), named in " + named_in + ", ";
  std::error_code failed;
  if (!std::filesystem::exists(path, failed)) return Add(what, name + "is missing.");
  auto hash = Sha256OfFile(path);
  if (!hash.ok()) return Add(what, name + "cannot be read.");
  if (hash.value() != file.sha256) Add(what, name + "has changed: its SHA-256 differs.");
  ++report_.files;
  report_.bytes += file.bytes;
}

vision::Status Walk::Files() {
  double done = 0;
  for (const auto& [key, entry] : files_) {
    CheckFile(entry.first, entry.second);
    if (job_.Cancelled()) return vision::Cancelled();
    job_.Report(0.5 + 0.5 * ++done / static_cast<double>(files_.size()), "files");
  }
  return std::nullopt;
}

vision::Result<VerifyReport> Walk::Run() {
  if (auto damaged = book_.database().CheckIntegrity(true)) Add("database", damaged->message);
  auto snapshot = Transaction::Begin(book_.database(), TransactionKind::kRead);
  if (!snapshot.ok()) return snapshot.error();
  if (auto failed = Revisions()) return *failed;
  if (auto failed = Tables()) return *failed;
  if (auto failed = SignOffsAndKeys()) return *failed;
  if (auto failed = Journal()) return *failed;
  if (auto failed = snapshot.value()->Commit()) return *failed;
  if (options_.evidence)
    if (auto failed = Files()) return *failed;
  job_.Report(1, "verified");
  return std::move(report_);
}
}  // namespace

vision::Result<VerifyReport> Verify(Book& book, const VerifyOptions& options, const vision::JobContext& job) {
  return Walk(book, options, job).Run();
}

}  // namespace app::book
