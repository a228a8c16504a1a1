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
};

std::string ToJson(const Statement& statement);
vision::Result<Statement> StatementFromJson(const std::string& text);

struct SignOff {
  Statement statement;
  std::string text;  ///< The JSON that was signed.
  std::string signature, fingerprint, login, hash;

  /// SHA-256 over text, signature, fingerprint and login.
  std::string ComputeHash() const;
};

/// Makes a key known to the book under a person's name: only then do signatures by it count.
vision::Status RegisterKey(Book& book, const std::string& name, const std::string& public_hex,
                           const std::string& added_by);

/// Signs the joint's revision (0: the newest) and stores it.
/// @return kBadInput for a statement that lacks something, an expired qualification, a key the book does not know under
///   this name.
vision::Result<SignOff> Sign(Book& book, Statement statement, const PrivateKey& key);

vision::Result<std::vector<SignOff>> SignOffs(Book& book, const std::string& joint);

/// The public key the book knows by this fingerprint, with the name it belongs to.
struct KnownKey {
  std::string name, public_hex, added_by, added_at;
  std::string ComputeHash() const;
};
vision::Result<std::optional<KnownKey>> FindKey(Book& book, const std::string& fingerprint);

/// What is wrong with a stored sign-off against the revision it names; "" when all holds.
std::string SignOffFault(const SignOff& signoff, const std::string& revision_hash, const std::optional<KnownKey>& key);

}  // namespace app::book
