#include <cstdlib>

#include "app/book/signoff.h"
#include "app/cli/book_steps.h"

namespace app::cli {
namespace {

/// A passphrase never stands on a command line, where others can read it.
std::string Passphrase() {
  const char* word = std::getenv("ROOTSCROLL_KEY_PASSPHRASE");
  return word != nullptr ? word : "";
}

void AddKey(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand(
      "key",
      "Make an inspector's Ed25519 key (encrypted where ROOTSCROLL_KEY_PASSPHRASE is set) and print its public part");
  auto file = std::make_shared<std::string>();
  command->add_option("file", *file, "New file for the private key; never give it away")->required();
  command->callback([file, &session] {
    auto key = app::book::PrivateKey::Make(*file, Passphrase());
    if (!key.ok()) return session.Fail(key.error());
    session.Say("Public key: " + key.value().PublicHex() +
                "\nFingerprint: " + app::book::Fingerprint(key.value().PublicHex()));
  });
}

struct TrustArguments {
  BookArguments book;
  std::string name, key;
};

void AddTrust(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("trust", "Register an inspector's public key under the person's name");
  auto arguments = std::make_shared<TrustArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("--name", arguments->name, "The person's name, as in sign-offs")->required();
  command->add_option("--key", arguments->key, "Public key: 64 hexadecimal digits")->required();
  command->add_option("--author", arguments->book.author, "Who registers it")->required();
  command->callback([arguments, &session] {
    auto opened = OpenBook(arguments->book, false, session);
    if (!opened) return;
    if (auto failed = app::book::RegisterKey(*opened, arguments->name, arguments->key, arguments->book.author))
      return session.Fail(*failed);
    session.Say("The book knows the key " + app::book::Fingerprint(arguments->key) + " as that of " + arguments->name);
    SaySeal(*opened, session);
  });
}

void AddRevoke(CLI::App& book, Session& session) {
  auto* command =
      book.add_subcommand("revoke", "Take a key's right to sign from a moment on; what it signed before still counts");
  auto arguments = std::make_shared<BookArguments>();
  auto revocation = std::make_shared<app::book::Revocation>();
  AddBookAddress(*command, *arguments);
  command->add_option("--fingerprint", revocation->fingerprint, "Of the key, as `trust` printed it")->required();
  command->add_option("--since", revocation->since, "Date, or moment in UTC such as 2026-01-31T08:00:00Z")->required();
  command->add_option("--reason", revocation->reason, "Why: lost, copied, person left")->required();
  command->add_option("--author", revocation->author, "Who revokes it")->required();
  command->callback([arguments, revocation, &session] {
    auto opened = OpenBook(*arguments, false, session);
    if (!opened) return;
    auto revoked = app::book::Revoke(*opened, *revocation);
    if (!revoked.ok()) return session.Fail(revoked.error());
    session.Say("The key " + revocation->fingerprint + " signs no longer, from " + revocation->since + " on");
    SaySeal(*opened, session);
  });
}

struct SignArguments {
  BookArguments book;
  app::book::Statement statement;
  std::string key;
};

void RunSign(const SignArguments& arguments, Session& session) {
  auto opened = OpenBook(arguments.book, false, session);
  if (!opened) return;
  auto key = app::book::PrivateKey::Load(arguments.key, Passphrase());
  if (!key.ok()) return session.Fail(key.error());
  auto signoff = app::book::Sign(*opened, arguments.statement, key.value());
  if (!signoff.ok()) return session.Fail(signoff.error());
  const auto& statement = signoff.value().statement;
  session.Say("Joint " + statement.joint + ", revision " + std::to_string(statement.revision) + ", " + statement.kind +
              " and signed by " + statement.name + ": " + signoff.value().hash + "\n" + CautionText());
  SaySeal(*opened, session);
}

void AddSign(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("sign", "Sign a revision of a joint");
  auto arguments = std::make_shared<SignArguments>();
  auto& statement = arguments->statement;
  AddBookAddress(*command, arguments->book);
  command->add_option("joint", statement.joint, "Joint id")->required();
  command->add_option("--revision", statement.revision, "The revision that is signed")
      ->required()
      ->check(CLI::PositiveNumber);
  command->add_option("--key", arguments->key, "File of the private key")->required();
  command->add_option("--kind", statement.kind, "examined or approved")->capture_default_str();
  command->add_option("--name", statement.name, "Name")->required();
  command->add_option("--role", statement.role, "Role, as the code in force calls it")->required();
  command->add_option("--qualification", statement.qualification, "Method, level, certificate")->required();
  command->add_option("--qualification-expires", statement.qualification_expires, "YYYY-MM-DD")->required();
  command->add_option("--vision-test", statement.vision_test, "Date of the last one, YYYY-MM-DD")->required();
  command->add_option("--procedure", statement.procedure, "Number of the examination procedure")->required();
  command->add_option("--light", statement.light_level, "Light level, as measured")->required();
  command->add_option("--resolution", statement.resolution, "How the resolution was demonstrated")->required();
  command->add_option("--statement", statement.statement, "What is signed, in your own words")->required();
  command->callback([arguments, &session] { RunSign(*arguments, session); });
}
}  // namespace

void AddBookSigning(CLI::App& book, Session& session) {
  AddKey(book, session);
  AddTrust(book, session);
  AddRevoke(book, session);
  AddSign(book, session);
}

}  // namespace app::cli
