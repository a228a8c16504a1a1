#include "app/book/signoff.h"

#include <algorithm>
#include <nlohmann/json.hpp>

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
  const auto json = nlohmann::json::parse(text, nullptr, false);
  if (!json.is_object()) return vision::BadInput("the statement is no JSON object");
  try {
    return json.get<Statement>();
  } catch (const nlohmann::json::exception& wrong) {
    return vision::BadInput(std::string("the statement cannot be read: ") + wrong.what());
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

vision::Status RegisterKey(Book& book, const std::string& name, const std::string& public_hex,
                           const std::string& added_by) {
  if (name.empty()) return vision::BadInput("A key needs the name of the person it belongs to.");
  if (public_hex.size() != 64) return vision::BadInput("A public key is 64 hexadecimal digits.");
  auto known = FindKey(book, Fingerprint(public_hex));
  if (!known.ok()) return known.error();
  if (known.value())
    return vision::BadInput("The book knows this key already, as that of " + known.value()->name + ".");
  auto transaction = Transaction::Begin(book.database(), TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  const KnownKey key{name, public_hex, added_by, NowUtc()};
  if (auto failed = book.database().Do("INSERT INTO inspector_key VALUES (?, ?, ?, ?, ?)",
                                       {Fingerprint(public_hex), key.name, key.public_hex, key.added_by, key.added_at}))
    return failed;
  if (auto failed = book.AddToJournal("key", key.ComputeHash())) return failed;
  return transaction.value()->Commit();
}

vision::Result<SignOff> Sign(Book& book, Statement statement, const PrivateKey& key) {
  statement.signed_at = NowUtc();
  if (auto wrong = statement.Check(statement.signed_at.substr(0, 10))) return *wrong;
  auto revision = book.Load(statement.joint, statement.revision);
  if (!revision.ok()) return revision.error();
  if (revision.value().ComputeHash() != revision.value().hash)
    return vision::BadInput("Joint " + statement.joint + ", revision " + std::to_string(revision.value().number) +
                            " is broken: it is no longer what was saved; it cannot be signed.");
  statement.revision = revision.value().number;
  statement.revision_hash = revision.value().hash;
  statement.fingerprint = Fingerprint(key.PublicHex());
  auto known = FindKey(book, statement.fingerprint);
  if (!known.ok()) return known.error();
  if (!known.value() || known.value()->name != statement.name)
    return vision::BadInput("The book does not know this key as that of " + statement.name +
                            "; an approver must register it first.");
  SignOff signoff{statement, ToJson(statement), {}, statement.fingerprint, book.database().login(), {}};
  auto signature = key.Sign(signoff.text);
  if (!signature.ok()) return signature.error();
  signoff.signature = signature.value();
  signoff.hash = signoff.ComputeHash();
  auto transaction = Transaction::Begin(book.database(), TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  if (auto failed = book.database().Do("INSERT INTO signoff VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                                       {signoff.hash, statement.joint, statement.revision, statement.kind, signoff.text,
                                        signoff.signature, signoff.fingerprint, signoff.login}))
    return *failed;
  if (auto failed = book.AddToJournal("signoff", signoff.hash)) return *failed;
  if (auto failed = transaction.value()->Commit()) return *failed;
  return signoff;
}

vision::Result<std::vector<SignOff>> SignOffs(Book& book, const std::string& joint) {
  auto rows = book.database().Run(
      "SELECT statement, signature, fingerprint, login, hash, number, kind FROM signoff WHERE joint = ?", {joint});
  if (!rows.ok()) return rows.error();
  std::vector<SignOff> signoffs;
  for (const auto& row : rows.value()) {
    SignOff signoff{{}, row.Text(0), row.Text(1), row.Text(2), row.Text(3), row.Text(4)};
    if (auto statement = StatementFromJson(signoff.text); statement.ok()) signoff.statement = statement.value();
    signoff.statement.joint = joint;
    signoff.statement.revision = row.Int(5);
    signoffs.push_back(std::move(signoff));
  }
  std::sort(signoffs.begin(), signoffs.end(),
            [](const SignOff& a, const SignOff& b) { return a.statement.signed_at < b.statement.signed_at; });
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
  if (statement.value().revision_hash != revision_hash) return "the revision was changed after it was signed";
  if (const auto lacks = statement.value().Check(statement.value().signed_at.substr(0, 10)))
    return "it should not have been signed: " + lacks->message.substr(0, lacks->message.size() - 1);
  return "";
}

}  // namespace app::book
