#pragma once

#include <string>
#include <vector>

#include "app/book/book.h"
#include "app/book/keys.h"

/// A person's name under one revision. The statement is signed with the person's own key; revision and statement can
/// then no longer change without it showing. It states what a person decided; this program never decides it.
namespace app::book {

struct Statement {
  std::string joint;
  std::int64_t revision = 0;
  std::string revision_hash;          ///< Filled in by Sign.
  std::string kind = "examined";      ///< examined | approved
  std::string name;                   ///< Of the person.
  std::string role;                   ///< Free text: titles differ between codes.
  std::string qualification;          ///< "VT level 2, certificate 77"
  std::string qualification_expires;  ///< YYYY-MM-DD; not before the day of signing.
  std::string vision_test;            ///< Date of the last one, YYYY-MM-DD; not after the day of signing.
  std::string procedure;              ///< Number of the examination procedure.
  std::string light_level;            ///< As measured: "1100 lx at the root"
  std::string resolution;             ///< How the resolution was demonstrated.
  std::string statement;              ///< What is signed, in the person's words.
  std::string signed_at;              ///< UTC; filled in by Sign.
  std::string fingerprint;            ///< Of the key; filled in by Sign.

  /// @return First field that is empty or wrong, as one sentence.
  vision::Status Check(const std::string& today) const;

  /// What Sign asks beyond Check; sign-offs of before these rules are not broken by them, `verify` remarks on them:
  /// nothing blank or unfit (text_gate.h), a vision test not older than a year (ISO 9712 wants it yearly; from memory).
  vision::Status CheckNow(const std::string& today) const;
};

std::string ToJson(const Statement& statement);
vision::Result<Statement> StatementFromJson(const std::string& text);

struct SignOff {
  Statement statement;
  std::string text;  ///< The JSON that was signed.
  std::string signature, fingerprint, login, hash;
  std::string kind;  ///< As the table says it, which rights look at; it must be the statement's.

  /// SHA-256 over text, signature, fingerprint and login.
  std::string ComputeHash() const;
};

/// Makes a key known to the book under a person's name: only then do signatures by it count.
vision::Status RegisterKey(Book& book, const std::string& name, const std::string& public_hex,
                           const std::string& added_by);

/// Signs the joint's revision, which must be named, and stores it.
/// @return kBadInput for a statement that lacks something, an expired qualification, a key the book does not know under
///   this name or that was revoked, an approval of what the same person or key examined, the same sign-off once more.
vision::Result<SignOff> Sign(Book& book, Statement statement, const Signer& key);

vision::Result<std::vector<SignOff>> SignOffs(Book& book, const std::string& joint);

/// The public key the book knows by this fingerprint, with the name it belongs to.
struct KnownKey {
  std::string name, public_hex, added_by, added_at;
  std::string ComputeHash() const;
};

/// @return kBadInput when it is no public key, or the name or who added it is blank or unfit.
vision::Status CheckKey(const KnownKey& key);

/// A key, a sign-off as they come from elsewhere; inside a transaction. Read back and compared before they count.
vision::Status PutKey(Book& book, const KnownKey& key);
vision::Status PutSignOff(Book& book, const SignOff& signoff);

vision::Result<std::optional<KnownKey>> FindKey(Book& book, const std::string& fingerprint);

/// A key that counts no longer from a moment on: what it signed before still holds.
struct Revocation {
  std::string fingerprint;
  std::string since;  ///< UTC, ISO 8601, or a date: signatures of that moment or later do not count.
  std::string reason, author;
  std::string login, made_at;  ///< Filled in by Revoke.
  std::string hash;            ///< Filled in by Revoke.

  std::string ComputeHash() const;
};

/// @return kBadInput for a key the book does not know or that is revoked already, a blank reason or author, a moment
///   that is none or lies ahead.
vision::Result<Revocation> Revoke(Book& book, Revocation revocation);
vision::Result<std::vector<Revocation>> Revocations(Book& book);

/// Why a sign-off made at `signed_at` with the key does not count; "" when no revocation touches it.
std::string RevocationFault(const std::vector<Revocation>& revocations, const std::string& fingerprint,
                            const std::string& signed_at);

/// What is wrong with a stored sign-off against the revision it names; "" when all holds.
std::string SignOffFault(const SignOff& signoff, const std::string& revision_hash, const std::optional<KnownKey>& key);

}  // namespace app::book
