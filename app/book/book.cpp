#include "app/book/book.h"

#include <algorithm>

#include "app/book/guards.h"
#include "app/book/judged.h"
#include "app/book/migrations.h"
#include "app/book/projection.h"
#include "app/book/text_gate.h"

namespace app::book {

namespace {
namespace fs = std::filesystem;

const char* const kColumns = "joint, number, author, login, made_at, reason, parent, hash";

Revision FromRow(const Row& row, bool with_body) {
  Revision revision{row.Text(0), row.Int(1),  row.Text(2), row.Text(3), row.Text(4),
                    row.Text(5), row.Text(6), row.Text(7), {}};
  if (with_body) revision.body = row.Text(8);
  return revision;
}

vision::Result<std::string> EvidenceFolder(Database& database) {
  auto rows = database.Run("SELECT value FROM book_info WHERE key = ?", {std::string("evidence_folder")});
  if (!rows.ok()) return rows.error();
  const std::string named = rows.value().empty() ? std::string() : rows.value().front().Text(0);
  if (!named.empty() || database.postgres()) return named;
  return database.address().text + ".evidence";
}

vision::Status CheckRequest(const SaveRequest& request) {
  if (auto wrong = CheckNamed("The author of a revision", Composed(request.author), kMostId)) return wrong;
  if (auto wrong = CheckNamed("The reason of a revision", Composed(request.reason))) return wrong;
  return request.record.Check();
}

vision::Status CheckHeld(const Record& record, const EvidenceStore& evidence) {
  for (const auto* file : record.Files())
    if (file->held == "copied" && !evidence.Holds(*file))
      return vision::BadInput("Joint " + record.joint + " names the file " + file->name + " (" + file->sha256 +
                              "), which is not in the evidence store " + evidence.folder().string() + ".");
  return std::nullopt;
}
}  // namespace

vision::Error NotAsGiven(const std::string& what) {
  return {vision::ErrorCode::kIo, "The database does not keep the " + what + " as it was given; nothing was saved."};
}

namespace {
vision::Status NoteEvidenceFolder(Database& database, const fs::path& folder) {
  if (auto failed =
          database.Do("INSERT INTO book_info VALUES (?, ?)", {std::string("evidence_folder"), folder.string()}))
    return failed;
  return NoteSum(database);
}
}  // namespace

vision::Result<std::unique_ptr<Book>> Book::Create(const std::string& text, const NewBookOptions& options) {
  const Address address = Address::Parse(text);
  std::error_code ignored;
  if (address.engine == Engine::kSqlite && fs::exists(address.text, ignored))
    return vision::BadInput(address.text + " exists already; a new book never overwrites a file.");
  if (address.engine == Engine::kPostgres && options.evidence_folder.empty())
    return vision::BadInput("A PostgreSQL book needs a folder for its evidence that all its machines see.");
  auto database = Database::Open(address, true, false);
  if (!database.ok()) return database.error();
  auto there = SchemaOf(*database.value());
  if (!there.ok()) return there.error();
  if (there.value() > 0) return vision::BadInput("There is a joint book at " + address.Shown() + " already.");
  if (auto failed = Migrate(*database.value())) return *failed;
  if (!options.evidence_folder.empty())
    if (auto failed = NoteEvidenceFolder(*database.value(), fs::absolute(options.evidence_folder, ignored)))
      return *failed;
  database = vision::Error{};  // closed before it is opened as any other
  return Open(text);
}

vision::Result<std::unique_ptr<Book>> Book::Open(const std::string& text, const OpenOptions& options) {
  auto database = Database::Open(Address::Parse(text), false, options.read_only);
  if (!database.ok()) return database.error();
  auto schema = SchemaOf(*database.value());
  if (!schema.ok()) return schema.error();
  const std::string shown = database.value()->address().Shown();
  if (schema.value() == 0) return vision::BadInput("There is no joint book at " + shown + ".");
  if (schema.value() != NewestSchema() && options.read_only)
    return vision::BadInput("The joint book " + shown + " has schema " + std::to_string(schema.value()) +
                            ", this program reads " + std::to_string(NewestSchema()) +
                            "; open it once with the right to write.");
  if (schema.value() != NewestSchema())
    if (auto failed = Migrate(*database.value())) return *failed;
  auto folder = EvidenceFolder(*database.value());
  if (!folder.ok()) return folder.error();
  return std::unique_ptr<Book>(new Book(std::move(database).value(),
                                        options.evidence_folder.empty() ? folder.value() : options.evidence_folder));
}

vision::Result<std::int64_t> Book::LockHead(const std::string& joint) {
  if (auto failed = database_->Do(
          "INSERT INTO joint VALUES (?, 0, '', '', '', '', '', '', '', '', 0, '') ON CONFLICT DO NOTHING", {joint}))
    return *failed;
  auto head = database_->Run(std::string("SELECT head FROM joint WHERE id = ?") + database_->ForUpdate(), {joint});
  if (!head.ok()) return head.error();
  return head.value().front().Int(0);
}

vision::Status Book::AddToJournal(const std::string& kind, const std::string& item) {
  auto head = database_->Run(std::string("SELECT seq, seal FROM book_head WHERE one = ?") + database_->ForUpdate(),
                             {std::int64_t{1}});
  if (!head.ok()) return head.error();
  const std::int64_t seq = head.value().front().Int(0) + 1;
  const std::string seal = ComputeSeal(head.value().front().Text(1), seq, kind, item);
  if (auto failed = database_->Do("INSERT INTO journal VALUES (?, ?, ?, ?)", {seq, kind, item, seal})) return failed;
  return database_->Do("UPDATE book_head SET seq = ?, seal = ? WHERE one = 1", {seq, seal});
}

vision::Status Book::CheckNew(const SaveRequest& request) {
  Record before;
  if (request.based_on > 0)
    if (auto record = LoadRecord(request.record.joint, request.based_on); record.ok()) before = record.value();
  const auto old = before.Files();
  for (const auto* file : request.record.Files()) {
    const bool known = std::any_of(old.begin(), old.end(), [&](const FileRef* other) { return *other == *file; });
    if (known || file->held != "referenced") continue;
    if (auto wrong = evidence_.Prove(*file)) return wrong;
  }
  return CheckNewVerdicts(request.record, before, evidence_);
}

vision::Status Book::PutRevision(const Revision& revision) {
  if (auto failed = database_->Do("INSERT INTO revision VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                                  {revision.joint, revision.number, revision.author, revision.login, revision.made_at,
                                   revision.reason, revision.parent, revision.hash, revision.body}))
    return failed;
  auto stored = Load(revision.joint, revision.number);
  if (!stored.ok() || stored.value().ComputeHash() != revision.hash || stored.value().hash != revision.hash)
    return NotAsGiven("revision");
  return AddToJournal("revision", revision.hash);
}

vision::Result<SaveOutcome> Book::Save(const SaveRequest& request) {
  if (auto wrong = CheckRequest(request)) return *wrong;
  if (auto wrong = CheckNew(request)) return *wrong;  // reads files: before anything is locked
  const std::string& joint = request.record.joint;
  auto transaction = Transaction::Begin(*database_, TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  auto head = LockHead(joint);
  if (!head.ok()) return head.error();
  if (head.value() != request.based_on) {
    auto conflict = MakeConflict(request);
    if (!conflict.ok()) return conflict.error();
    return SaveOutcome{std::nullopt, std::move(conflict).value()};
  }
  Revision revision{
      joint, head.value() + 1, Composed(request.author), database_->login(), NowUtc(), Composed(request.reason), {}, {},
      {}};
  if (head.value() > 0) {
    auto parent = Load(joint, head.value());
    if (!parent.ok()) return parent.error();
    revision.parent = parent.value().hash;
  }
  revision.body = ToJson(request.record);
  revision.hash = revision.ComputeHash();
  if (auto failed = Project(*database_, revision, request.record)) return *failed;
  if (auto failed = NoteFiles(*database_, request.record)) return *failed;
  if (request.also) {
    auto goes = request.also(*database_);
    if (!goes.ok()) return goes.error();
    if (!goes.value()) return SaveOutcome{};
  }
  if (auto failed = SettleQueue(*database_, request.record)) return *failed;
  if (auto failed = PutRevision(revision)) return *failed;
  // Looked at while the end of the journal is locked: what is taken out of the store is taken out under that lock.
  if (auto wrong = CheckHeld(request.record, evidence_)) return *wrong;
  if (auto failed = transaction.value()->Commit()) return *failed;
  return SaveOutcome{std::move(revision), std::nullopt};
}

vision::Result<Conflict> Book::MakeConflict(const SaveRequest& request) {
  auto theirs = Load(request.record.joint);
  if (!theirs.ok()) {
    return vision::BadInput("Joint " + request.record.joint + " has no revision " + std::to_string(request.based_on) +
                            "; it is not in the book. A new joint is saved on revision 0.");
  }
  std::string base = "{}";
  if (request.based_on > 0) {
    auto old = Load(request.record.joint, request.based_on);
    if (!old.ok()) return old.error();
    base = old.value().body;
  }
  return Conflict{request.based_on, theirs.value(), Changes(base, ToJson(request.record)),
                  Changes(base, theirs.value().body)};
}

vision::Result<Revision> Book::Load(const std::string& joint, std::int64_t number) {
  if (number < 0) return vision::NotFound("There is no revision " + std::to_string(number) + "; they count from 1.");
  const std::string select = std::string("SELECT ") + kColumns + ", body FROM revision WHERE joint = ?";
  auto rows = number > 0 ? database_->Run(select + " AND number = ?", {joint, number})
                         : database_->Run(select + " ORDER BY number DESC LIMIT 1", {joint});
  if (!rows.ok()) return rows.error();
  if (rows.value().empty())
    return vision::NotFound("There is no joint " + joint +
                            (number > 0 ? " with revision " + std::to_string(number) : std::string()) +
                            " in the book " + database_->address().Shown() + ".");
  return FromRow(rows.value().front(), true);
}

vision::Result<Record> Book::LoadRecord(const std::string& joint, std::int64_t number) {
  auto revision = Load(joint, number);
  if (!revision.ok()) return revision.error();
  return FromJson(revision.value().body, "Joint " + joint + ", revision " + std::to_string(revision.value().number));
}

vision::Result<std::vector<Revision>> Book::History(const std::string& joint) {
  auto rows =
      database_->Run(std::string("SELECT ") + kColumns + " FROM revision WHERE joint = ? ORDER BY number", {joint});
  if (!rows.ok()) return rows.error();
  std::vector<Revision> revisions;
  for (const auto& row : rows.value()) revisions.push_back(FromRow(row, false));
  return revisions;
}

vision::Result<JournalLine> Book::Seal() {
  auto rows = database_->Run("SELECT seq, kind, item, seal FROM journal ORDER BY seq DESC LIMIT 1");
  if (!rows.ok()) return rows.error();
  if (rows.value().empty()) return JournalLine{};
  const Row& row = rows.value().front();
  return JournalLine{row.Int(0), row.Text(1), row.Text(2), row.Text(3)};
}

}  // namespace app::book
