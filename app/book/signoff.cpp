#include "app/book/signoff.h"

#include <QDate>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <tuple>

#include "app/book/shape.h"
#include "app/book/text_gate.h"
#include "app/joint/json_check.h"

namespace app::book {

NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE(Statement, joint, revision, revision_hash, kind, name, role, qualification,
                                   qualification_expires, vision_test, procedure, light_level, resolution, statement,
                                   signed_at, fingerprint)

std::string ToJson(const Statement& statement) {
  nlohmann::json json = statement;
  json["format"] = "rootscroll.signoff/1";
  return json.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

vision::Result<Statement> StatementFromJson(const std::string& text) {
  auto json = app::joint::ParseJson(text, "the statement");
  if (!json.ok()) return vision::BadInput("the statement is not JSON that can be read");
  static const nlohmann::json sample = nlohmann::json::parse(ToJson(Statement{}));
  if (CheckShape("the statement", json.value(), sample))
    return vision::BadInput("the statement is not that of a sign-off");
  try {
    return json.value().get<Statement>();
  } catch (const nlohmann::json::exception&) {
    return vision::BadInput("the statement lacks something that a sign-off has");
  }
}

vision::Status Statement::Check(const std::string& today) const {
  const std::pair<const char*, const std::string*> texts[] = {{"name", &name},
                                                              {"role", &role},
                                                              {"qualification", &qualification},
                                                              {"procedure", &procedure},
                                                              {"light_level", &light_level},
                                                              {"resolution", &resolution},
                                                              {"statement", &statement}};
  for (const auto& [key, text] : texts)
    if (text->empty()) return vision::BadInput(std::string("A sign-off needs `") + key + "`; it is empty.");
  if (kind != "examined" && kind != "approved")
    return vision::BadInput("The sign-off's kind is " + kind + "; it must be examined or approved.");
  if (!IsDate(qualification_expires) || !IsDate(vision_test))
    return vision::BadInput("A sign-off needs `qualification_expires` and `vision_test` as dates such as 2026-01-31.");
  if (qualification_expires < today)
    return vision::BadInput("The qualification of " + name + " expired on " + qualification_expires +
                            "; a sign-off of today, " + today + ", needs one that is valid.");
  if (vision_test > today)
    return vision::BadInput("The vision test of " + name + " is dated " + vision_test + ", after today, " + today +
                            ".");
  return std::nullopt;
}

vision::Status Statement::CheckNow(const std::string& today) const {
  if (auto wrong = Check(today)) return wrong;
  for (const auto& [key, text] : {std::pair{"joint", &joint},
                                  {"name", &name},
                                  {"role", &role},
                                  {"qualification", &qualification},
                                  {"procedure", &procedure},
                                  {"light_level", &light_level},
                                  {"resolution", &resolution}})
    if (auto wrong = CheckNamed(std::string("The sign-off's `") + key + "`", *text, kMostId * 2)) return wrong;
  if (statement.find_first_not_of(" \t\n") == std::string::npos)
    return vision::BadInput("The sign-off's `statement` is empty or blank; it must be given.");
  if (auto wrong = CheckText("The sign-off's `statement`", statement, vision::Lines::kMany, kMostNote)) return wrong;
  const auto day = [](const std::string& date) { return QDate::fromString(QString::fromStdString(date), Qt::ISODate); };
  constexpr int kDays = 366;
  if (day(vision_test).addDays(kDays) < day(today))
    return vision::BadInput("The vision test of " + name + " is dated " + vision_test + ", more than a year before " +
                            today + "; a sign-off needs one of the last twelve months.");
  return std::nullopt;
}

std::string SignOff::ComputeHash() const {
  return HashOfParts({"rootscroll.signoff/1", text, signature, fingerprint, login});
}

std::string KnownKey::ComputeHash() const {
  return HashOfParts({"rootscroll.key/1", name, public_hex, added_by, added_at});
}

vision::Result<std::optional<KnownKey>> FindKey(Book& book, const std::string& fingerprint) {
  auto rows = book.database().Run(
      "SELECT name, public_key, added_by, added_at FROM inspector_key WHERE fingerprint = ?", {fingerprint});
  if (!rows.ok()) return rows.error();
  if (rows.value().empty()) return std::optional<KnownKey>();
  const Row& row = rows.value().front();
  return std::optional<KnownKey>(KnownKey{row.Text(0), row.Text(1), row.Text(2), row.Text(3)});
}

vision::Status CheckKey(const KnownKey& key) {
  if (auto wrong = CheckNamed("The name of the person a key belongs to", key.name, kMostId)) return wrong;
  if (auto wrong = CheckNamed("Who registers a key", key.added_by, kMostId)) return wrong;
  if (!IsPublicKey(key.public_hex))
    return vision::BadInput("A public key is 64 small hexadecimal digits, as `book key` prints them; this is none.");
  return std::nullopt;
}

vision::Status PutKey(Book& book, const KnownKey& key) {
  if (auto wrong = CheckKey(key)) return wrong;
  const std::string fingerprint = Fingerprint(key.public_hex);
  if (auto failed = book.database().Do("INSERT INTO inspector_key VALUES (?, ?, ?, ?, ?)",
                                       {fingerprint, key.name, key.public_hex, key.added_by, key.added_at}))
    return failed;
  auto stored = FindKey(book, fingerprint);
  if (!stored.ok()) return stored.error();
  if (!stored.value() || stored.value()->ComputeHash() != key.ComputeHash()) return NotAsGiven("key of " + key.name);
  return book.AddToJournal("key", key.ComputeHash());
}

vision::Status RegisterKey(Book& book, const std::string& name, const std::string& public_hex,
                           const std::string& added_by) {
  const KnownKey key{Composed(name), public_hex, Composed(added_by), NowUtc()};
  if (auto wrong = CheckKey(key)) return wrong;
  auto transaction = Transaction::Begin(book.database(), TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  auto known = FindKey(book, Fingerprint(public_hex));
  if (!known.ok()) return known.error();
  if (known.value())
    return vision::BadInput("The book knows this key already, as that of " + known.value()->name + ".");
  if (auto failed = PutKey(book, key)) return failed;
  return transaction.value()->Commit();
}

namespace {
SignOff FromRow(const Row& row) {
  SignOff signoff{{}, row.Text(0), row.Text(1), row.Text(2), row.Text(3), row.Text(4), row.Text(6)};
  if (auto statement = StatementFromJson(signoff.text); statement.ok()) signoff.statement = statement.value();
  return signoff;
}

const char* const kSignOffColumns = "statement, signature, fingerprint, login, hash, number, kind";
}  // namespace

vision::Status PutSignOff(Book& book, const SignOff& signoff) {
  const auto& statement = signoff.statement;
  Database& database = book.database();
  auto there = database.Run("SELECT hash FROM signoff WHERE hash = ?", {signoff.hash});
  if (!there.ok()) return there.error();
  if (!there.value().empty())
    return vision::BadInput("The book holds this very sign-off by " + statement.name + " of " + statement.signed_at +
                            " already.");
  if (auto failed = database.Do("INSERT INTO signoff VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                                {signoff.hash, statement.joint, statement.revision, statement.kind, signoff.text,
                                 signoff.signature, signoff.fingerprint, signoff.login}))
    return failed;
  auto stored = database.Run(std::string("SELECT ") + kSignOffColumns + " FROM signoff WHERE hash = ?", {signoff.hash});
  if (!stored.ok()) return stored.error();
  if (stored.value().empty() || FromRow(stored.value().front()).ComputeHash() != signoff.hash)
    return NotAsGiven("sign-off by " + statement.name);
  return book.AddToJournal("signoff", signoff.hash);
}

namespace {
/// An approval of what the same person, or the same key, examined is none: of that revision, or the last examined
/// before it.
vision::Status CheckApproval(Book& book, const Statement& statement) {
  if (statement.kind != "approved") return std::nullopt;
  auto others = SignOffs(book, statement.joint);
  if (!others.ok()) return others.error();
  std::int64_t last = 0;
  for (const auto& other : others.value())
    if (other.statement.kind == "examined" && other.statement.revision <= statement.revision)
      last = std::max(last, other.statement.revision);
  for (const auto& other : others.value())
    if (other.statement.kind == "examined" && other.statement.revision == last &&
        (other.statement.name == statement.name || other.fingerprint == statement.fingerprint))
      return vision::BadInput(statement.name + " examined revision " + std::to_string(last) + " of joint " +
                              statement.joint + "; somebody else must approve it.");
  return std::nullopt;
}

/// What a key must be to sign for this person now.
vision::Status CheckSigner(Book& book, const Statement& statement) {
  auto known = FindKey(book, statement.fingerprint);
  if (!known.ok()) return known.error();
  if (!known.value() || known.value()->name != statement.name)
    return vision::BadInput("The book does not know this key as that of " + statement.name +
                            "; an approver must register it first.");
  auto revoked = Revocations(book);
  if (!revoked.ok()) return revoked.error();
  const auto fault = RevocationFault(revoked.value(), statement.fingerprint, statement.signed_at);
  if (!fault.empty()) return vision::BadInput("This key cannot sign: " + fault + ".");
  return CheckApproval(book, statement);
}

void Compose(Statement& statement) {
  for (auto* text : {&statement.joint, &statement.name, &statement.role, &statement.qualification, &statement.procedure,
                     &statement.light_level, &statement.resolution, &statement.statement})
    *text = Composed(*text);
}
}  // namespace

vision::Result<SignOff> Sign(Book& book, Statement statement, const Signer& key) {
  Compose(statement);
  statement.signed_at = NowUtc();
  if (auto wrong = statement.CheckNow(statement.signed_at.substr(0, 10))) return *wrong;
  if (statement.revision < 1)
    return vision::BadInput("A sign-off names the revision that is signed, from 1 on; " +
                            std::to_string(statement.revision) + " is none.");
  auto revision = book.Load(statement.joint, statement.revision);
  if (!revision.ok()) return revision.error();
  if (revision.value().ComputeHash() != revision.value().hash)
    return vision::BadInput("Joint " + statement.joint + ", revision " + std::to_string(revision.value().number) +
                            " is broken: it is no longer what was saved; it cannot be signed.");
  statement.revision_hash = revision.value().hash;
  statement.fingerprint = Fingerprint(key.PublicHex());
  SignOff signoff{statement, ToJson(statement), {}, statement.fingerprint, book.database().login(), {}, statement.kind};
  auto transaction = Transaction::Begin(book.database(), TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  if (auto wrong = CheckSigner(book, statement)) return *wrong;
  auto signature = key.Sign(signoff.text);
  if (!signature.ok()) return signature.error();
  if (!SignatureHolds(key.PublicHex(), signoff.text, signature.value()))
    return vision::Error{vision::ErrorCode::kIo, "What the key signed does not hold under its own public part."};
  signoff.signature = signature.value();
  signoff.hash = signoff.ComputeHash();
  if (auto failed = PutSignOff(book, signoff)) return *failed;
  if (auto failed = transaction.value()->Commit()) return *failed;
  return signoff;
}

vision::Result<std::vector<SignOff>> SignOffs(Book& book, const std::string& joint) {
  auto rows = book.database().Run(std::string("SELECT ") + kSignOffColumns + " FROM signoff WHERE joint = ?", {joint});
  if (!rows.ok()) return rows.error();
  std::vector<SignOff> signoffs;
  for (const auto& row : rows.value()) {
    signoffs.push_back(FromRow(row));
    signoffs.back().statement.joint = joint;
    signoffs.back().statement.revision = row.Int(5);
  }
  std::sort(signoffs.begin(), signoffs.end(), [](const SignOff& a, const SignOff& b) {
    return std::tie(a.statement.signed_at, a.hash) < std::tie(b.statement.signed_at, b.hash);
  });
  return signoffs;
}

std::string SignOffFault(const SignOff& signoff, const std::string& revision_hash, const std::optional<KnownKey>& key) {
  const auto statement = StatementFromJson(signoff.text);
  if (!statement.ok()) return statement.error().message;
  if (signoff.ComputeHash() != signoff.hash) return "the sign-off is no longer what was stored";
  if (!key) return "it was signed with a key the book does not know";
  if (Fingerprint(key->public_hex) != signoff.fingerprint)
    return "the key in the book is not the one it was signed with";
  if (key->name != statement.value().name) return "the key in the book belongs to " + key->name;
  if (!SignatureHolds(key->public_hex, signoff.text, signoff.signature))
    return "the signature is not of this statement";
  if (statement.value().joint != signoff.statement.joint || statement.value().revision != signoff.statement.revision)
    return "the statement speaks of another revision";
  if (signoff.kind != statement.value().kind)
    return "the book calls it " + signoff.kind + ", what was signed is " + statement.value().kind;
  if (statement.value().revision_hash != revision_hash) return "the revision was changed after it was signed";
  if (const auto lacks = statement.value().Check(statement.value().signed_at.substr(0, 10)))
    return "it should not have been signed: " + lacks->message.substr(0, lacks->message.size() - 1);
  return "";
}

}  // namespace app::book
