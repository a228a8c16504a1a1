#include <cstdlib>

#include "app/book/text_gate.h"
#include "app/book/witness.h"
#include "app/cli/book_steps.h"
#include "app/cli/commands.h"

namespace app::cli {

void AddBookAddress(CLI::App& command, BookArguments& arguments) {
  command.add_option("book", arguments.address, "The joint book: a file, or postgresql://user@host:port/database")
      ->required();
  command.add_option("--evidence", arguments.evidence, "Evidence folder, instead of the one the book names");
}

void AddAuthor(CLI::App& command, BookArguments& arguments) {
  command.add_option("--author", arguments.author, "Who makes this change")->required();
  command.add_option("--reason", arguments.reason, "Why it is made")->required();
}

std::unique_ptr<app::book::Book> OpenBook(const BookArguments& arguments, bool read_only, Session& session) {
  auto book = app::book::Book::Open(arguments.address, {read_only, arguments.evidence});
  if (book.ok()) return std::move(book).value();
  session.Fail(book.error());
  return nullptr;
}

bool SaveStep(app::book::Book& book, const BookArguments& arguments, const app::book::Record& record,
              std::int64_t based_on, Session& session) {
  auto outcome = book.Save({record, based_on, arguments.author, arguments.reason, {}});
  if (!outcome.ok()) return session.Fail(outcome.error()), false;
  if (outcome.value().conflict) return session.FailLines(outcome.value().conflict->Text()), false;
  const auto& saved = *outcome.value().saved;
  session.Say("Joint " + saved.joint + ", revision " + std::to_string(saved.number) + ": " + saved.hash);
  return SaySeal(book, session);
}

bool SaySeal(app::book::Book& book, Session& session) {
  auto seal = book.Seal();
  if (!seal.ok()) return session.Fail(seal.error()), false;
  session.Say("Seal " + std::to_string(seal.value().seq) + ": " + seal.value().seal);
  const char* witness = std::getenv("ROOTSCROLL_WITNESS");
  if (witness == nullptr || *witness == '\0') return true;
  if (auto failed = app::book::AddWitness(witness, seal.value())) return session.Fail(*failed), false;
  return true;
}

void ChangeRecord(const BookArguments& arguments, const std::string& joint,
                  const std::function<vision::Status(app::book::Book&, app::book::Record&)>& change, Session& session) {
  auto book = OpenBook(arguments, false, session);
  if (!book) return;
  auto base = book->Load(joint);
  if (!base.ok()) return session.Fail(base.error());
  auto record = app::book::FromJson(base.value().body, "Joint " + joint);
  if (!record.ok()) return session.Fail(record.error());
  if (auto wrong = change(*book, record.value())) return session.Fail(*wrong);
  SaveStep(*book, arguments, record.value(), base.value().number, session);
}

void AddBook(CLI::App& program, Session& session) {
  auto* book = program.add_subcommand("book", "The joint book: joints, recordings, revisions, sign-offs, evidence");
  book->require_subcommand(1);
  AddBookKeeping(*book, session);
  AddBookEvidence(*book, session);
  AddBookSigning(*book, session);
  AddBookLooking(*book, session);
  AddBookExchange(*book, session);
  AddBookRepair(*book, session);
  AddBookReport(*book, session);
}

}  // namespace app::cli
