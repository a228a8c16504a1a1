#include <cstdlib>
#include <memory>
#include <set>

#include "app/book/signer_at.h"
#include "app/book/signoff.h"
#include "app/book/time_stamp.h"
#include "app/cli/book_steps.h"

namespace app::cli {
namespace {

/// A passphrase or PIN never stands on a command line, where others can read it.
std::string Secret(const char* variable) {
  const char* word = std::getenv(variable);
  return word != nullptr ? word : "";
}

/// The key that `where` names; its passphrase or PIN from the environment.
vision::Result<std::shared_ptr<const app::book::Signer>> KeyAt(const std::string& where, bool make) {
  return app::book::SignerAt(where, {Secret("ROOTSCROLL_KEY_PASSPHRASE"), Secret("ROOTSCROLL_TOKEN_PIN")}, make);
}

constexpr const char* kWhere =
    "a file, or pkcs11:token=NAME;object=KEY?module-path=FILE (its PIN in ROOTSCROLL_TOKEN_PIN or a file named by "
    "pin-source)";

void AddKey(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand(
      "key",
      "Make an inspector's Ed25519 key (a file is encrypted where ROOTSCROLL_KEY_PASSPHRASE is set) and print its "
      "public part");
  auto where = std::make_shared<std::string>();
  auto show = std::make_shared<bool>(false);
  command->add_option("key", *where, std::string("Where the private key is to be: ") + kWhere)->required();
  command->add_flag("--show", *show, "Make none: print the public part of the one that is there");
  command->callback([where, show, &session] {
    auto key = KeyAt(*where, !*show);
    if (!key.ok()) return session.Fail(key.error());
    const std::string text = key.value()->PublicHex();
    session.Say("Public key: " + text + "\nFingerprint: " + app::book::Fingerprint(text));
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
  std::string key, time_server;
};

void AddTimeServer(CLI::App& command, std::string& time_server) {
  command
      .add_option("--time-server", time_server,
                  "Address of a time-stamping authority (RFC 3161) that confirms the moment; none is needed")
      ->envname("ROOTSCROLL_TIME_SERVER");
}

/// Asks for trusted time on a sign-off; false after the session has said why there is none.
bool StampIt(app::book::Book& book, const std::string& signoff, const std::string& time_server, Session& session) {
  auto stamp = app::book::StampSignOff(book, signoff, time_server);
  const auto moment = stamp.ok() ? app::book::TimeOf(stamp.value(), "") : vision::Result<std::string>(stamp.error());
  if (!moment.ok()) {
    session.Fail(vision::Error{
        moment.error().code,
        "The sign-off stands, without trusted time (`book stamp` asks again): " + moment.error().message});
    return false;
  }
  session.Say("Trusted time: " + moment.value());
  return true;
}

void RunSign(const SignArguments& arguments, Session& session) {
  auto opened = OpenBook(arguments.book, false, session);
  if (!opened) return;
  auto key = KeyAt(arguments.key, false);
  if (!key.ok()) return session.Fail(key.error());
  auto signoff = app::book::Sign(*opened, arguments.statement, *key.value());
  if (!signoff.ok()) return session.Fail(signoff.error());
  const auto& statement = signoff.value().statement;
  session.Say("Joint " + statement.joint + ", revision " + std::to_string(statement.revision) + ", " + statement.kind +
              " and signed by " + statement.name + ": " + signoff.value().hash + "\n" + CautionText());
  if (!arguments.time_server.empty()) StampIt(*opened, signoff.value().hash, arguments.time_server, session);
  SaySeal(*opened, session);
}

/// Every sign-off of a joint that has no time stamp yet gets one.
void RunStamp(const SignArguments& arguments, Session& session) {
  auto opened = OpenBook(arguments.book, false, session);
  if (!opened) return;
  auto signoffs = app::book::SignOffs(*opened, arguments.statement.joint);
  if (!signoffs.ok()) return session.Fail(signoffs.error());
  auto stamps = app::book::TimeStamps(*opened, arguments.statement.joint);
  if (!stamps.ok()) return session.Fail(stamps.error());
  std::set<std::string> stamped;
  for (const auto& stamp : stamps.value()) stamped.insert(stamp.signoff);
  for (const auto& signoff : signoffs.value())
    if (!stamped.contains(signoff.hash) && !StampIt(*opened, signoff.hash, arguments.time_server, session)) return;
  session.Say("Joint " + arguments.statement.joint + ": " + std::to_string(signoffs.value().size()) +
              " sign-offs, each with a time stamp");
  SaySeal(*opened, session);
}

void AddStamp(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand(
      "stamp", "Have a time-stamping authority confirm the moment of a joint's sign-offs that have no time stamp yet");
  auto arguments = std::make_shared<SignArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("joint", arguments->statement.joint, "Joint id")->required();
  AddTimeServer(*command, arguments->time_server);
  command->get_option("--time-server")->required();
  command->callback([arguments, &session] { RunStamp(*arguments, session); });
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
  command->add_option("--key", arguments->key, std::string("The private key: ") + kWhere)->required();
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
  AddTimeServer(*command, arguments->time_server);
  command->callback([arguments, &session] { RunSign(*arguments, session); });
}
}  // namespace

void AddBookSigning(CLI::App& book, Session& session) {
  AddKey(book, session);
  AddTrust(book, session);
  AddRevoke(book, session);
  AddSign(book, session);
  AddStamp(book, session);
}

}  // namespace app::cli
