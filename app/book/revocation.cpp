#include <QDateTime>
#include <algorithm>

#include "app/book/signoff.h"
#include "app/book/text_gate.h"

namespace app::book {

std::string Revocation::ComputeHash() const {
  return HashOfParts({"rootscroll.revocation/1", fingerprint, since, reason, author, login, made_at});
}

namespace {
bool IsMoment(const std::string& text) {
  return IsDate(text) || (text.size() == 20 && text.back() == 'Z' &&
                          QDateTime::fromString(QString::fromStdString(text), Qt::ISODate).isValid());
}

vision::Status Check(const Revocation& revocation) {
  if (auto wrong = CheckNamed("The reason of a revocation", revocation.reason)) return wrong;
  if (auto wrong = CheckNamed("Who revokes a key", revocation.author, kMostId)) return wrong;
  if (!IsMoment(revocation.since))
    return vision::BadInput(
        "A key is revoked from a date such as 2026-01-31, or a moment such as 2026-01-31T08:00:00Z.");
  if (revocation.since > NowUtc()) return vision::BadInput("A key cannot be revoked from a moment that lies ahead.");
  return std::nullopt;
}

Revocation FromRow(const Row& row) {
  return {row.Text(0), row.Text(1), row.Text(2), row.Text(3), row.Text(4), row.Text(5), row.Text(6)};
}
}  // namespace

vision::Result<std::vector<Revocation>> Revocations(Book& book) {
  auto rows = book.database().Run(
      "SELECT fingerprint, since, reason, author, login, made_at, hash FROM key_revocation ORDER BY made_at, hash");
  if (!rows.ok()) return rows.error();
  std::vector<Revocation> revocations;
  for (const auto& row : rows.value()) revocations.push_back(FromRow(row));
  return revocations;
}

std::string RevocationFault(const std::vector<Revocation>& revocations, const std::string& fingerprint,
                            const std::string& signed_at) {
  for (const auto& revocation : revocations)
    if (revocation.fingerprint == fingerprint && signed_at >= revocation.since)
      return "the key was revoked from " + revocation.since + " on (" + revocation.reason + ")";
  return "";
}

vision::Result<Revocation> Revoke(Book& book, Revocation revocation) {
  revocation.reason = Composed(revocation.reason);
  revocation.author = Composed(revocation.author);
  if (auto wrong = Check(revocation)) return *wrong;
  revocation.login = book.database().login();
  revocation.made_at = NowUtc();
  revocation.hash = revocation.ComputeHash();
  auto transaction = Transaction::Begin(book.database(), TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  auto key = FindKey(book, revocation.fingerprint);
  if (!key.ok()) return key.error();
  if (!key.value()) return vision::BadInput("The book does not know the key " + revocation.fingerprint + ".");
  auto before = Revocations(book);
  if (!before.ok()) return before.error();
  for (const auto& old : before.value())
    if (old.fingerprint == revocation.fingerprint && old.since <= revocation.since)
      return vision::BadInput("The key is revoked already, from " + old.since + " on.");
  if (auto failed = book.database().Do("INSERT INTO key_revocation VALUES (?, ?, ?, ?, ?, ?, ?)",
                                       {revocation.hash, revocation.fingerprint, revocation.since, revocation.reason,
                                        revocation.author, revocation.login, revocation.made_at}))
    return *failed;
  auto stored = Revocations(book);
  if (!stored.ok()) return stored.error();
  const bool as_given = std::any_of(stored.value().begin(), stored.value().end(), [&](const Revocation& row) {
    return row.hash == revocation.hash && row.ComputeHash() == revocation.hash;
  });
  if (!as_given) return NotAsGiven("revocation");
  if (auto failed = book.AddToJournal("revocation", revocation.hash)) return *failed;
  if (auto failed = transaction.value()->Commit()) return *failed;
  return revocation;
}

}  // namespace app::book
