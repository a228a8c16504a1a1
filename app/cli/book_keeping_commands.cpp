#include "app/book/intake.h"
#include "app/book/roles.h"
#include "app/book/text_gate.h"
#include "app/cli/book_steps.h"
#include "vision/base/file.h"

namespace app::cli {
namespace {

using app::book::Record;

void AddNewBook(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("new", "Make an empty joint book");
  auto arguments = std::make_shared<BookArguments>();
  AddBookAddress(*command, *arguments);
  command->callback([arguments, &session] {
    auto made = app::book::Book::Create(arguments->address, {arguments->evidence});
    if (!made.ok()) return session.Fail(made.error());
    session.Say("An empty book; its evidence goes to " + made.value()->evidence().folder().string());
  });
}

void AddRoles(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand(
      "roles", "PostgreSQL: make the roles reader, inspector and approver and give them their rights");
  auto arguments = std::make_shared<BookArguments>();
  AddBookAddress(*command, *arguments);
  command->callback([arguments, &session] {
    auto opened = OpenBook(*arguments, false, session);
    if (!opened) return;
    if (auto failed = app::book::GrantRoles(*opened)) return session.Fail(*failed);
    session.Say(
        "Give a login its role with: GRANT rootscroll_reader (or rootscroll_inspector, rootscroll_approver) TO "
        "the_login");
  });
}

struct AddArguments {
  BookArguments book;
  app::book::IntakeRequest intake;
};

void RunAdd(const AddArguments& arguments, Session& session) {
  auto book = OpenBook(arguments.book, false, session);
  if (!book) return;
  auto joint = app::joint::LoadJoint(arguments.intake.joint_file);
  if (!joint.ok()) return session.Fail(joint.error());
  Record record;
  std::int64_t based_on = 0;
  if (auto base = book->Load(joint.value().id); base.ok()) {
    auto loaded = app::book::FromJson(base.value().body, "Joint " + joint.value().id);
    if (!loaded.ok()) return session.Fail(loaded.error());
    record = loaded.value();
    based_on = base.value().number;
  } else if (base.error().code != vision::ErrorCode::kNotFound) {
    return session.Fail(base.error());
  }
  if (auto wrong = app::book::TakeIn(*book, arguments.intake, record)) return session.Fail(*wrong);
  SaveStep(*book, arguments.book, record, based_on, session);
}

void AddAdd(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("add", "Put recordings of a joint file into the book, to be measured by `batch`");
  auto arguments = std::make_shared<AddArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("joint", arguments->intake.joint_file, "The joint file")->required();
  command->add_option("--recording", arguments->intake.recordings, "Id of a recording in it; may be given again")
      ->required();
  command->add_option("--cycle", arguments->intake.cycle, "R0 the first weld, R1 the first repair, ...")
      ->capture_default_str();
  command->add_option("--welder", arguments->intake.welder, "Welder of this cycle");
  command->add_option("--welded-on", arguments->intake.welded_on, "Date of welding, YYYY-MM-DD");
  command->add_option("--recorder-clock", arguments->intake.clock, "What the recorder's clock said; kept as given");
  command->add_option("--time-zone", arguments->intake.zone, "What the recorder's time zone was set to; kept as given");
  command->add_flag("--refer", arguments->intake.refer, "Leave frames and videos where they are and note their hash");
  AddAuthor(*command, arguments->book);
  command->callback([arguments, &session] { RunAdd(*arguments, session); });
}

struct PutArguments {
  BookArguments book;
  std::string record;
  std::int64_t based_on = 0;
};

void AddPut(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("put", "Save a record that was edited by hand as the joint's next revision");
  auto arguments = std::make_shared<PutArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("record", arguments->record, "The record (rootscroll.record/1), as `book show` prints it")
      ->required();
  command->add_option("--on", arguments->based_on, "The revision it was edited from; 0 for a new joint")
      ->required()
      ->check(CLI::NonNegativeNumber);
  AddAuthor(*command, arguments->book);
  command->callback([arguments, &session] {
    auto opened = OpenBook(arguments->book, false, session);
    if (!opened) return;
    auto text = vision::ReadFileWhole(arguments->record);
    if (!text.ok()) return session.Fail(text.error());
    auto record = app::book::FromJson(text.value(), arguments->record);
    if (!record.ok()) return session.Fail(record.error());
    SaveStep(*opened, arguments->book, record.value(), arguments->based_on, session);
  });
}

struct NoteArguments {
  BookArguments book;
  std::string joint;
  app::book::Annotation note;
};

void AddNote(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("annotate", "Add an annotation to a joint");
  auto arguments = std::make_shared<NoteArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("joint", arguments->joint, "Joint id")->required();
  command->add_option("text", arguments->note.text, "What it says")->required();
  command->add_option("--cycle", arguments->note.cycle, "Cycle it is about");
  command->add_option("--theta-deg", arguments->note.theta_deg, "Place round the bore, degrees");
  command->add_option("--z-mm", arguments->note.z_mm, "Place along the pipe, mm");
  AddAuthor(*command, arguments->book);
  command->callback([arguments, &session] {
    ChangeRecord(
        arguments->book, arguments->joint,
        [&](app::book::Book&, Record& record) -> vision::Status {
          auto note = arguments->note;
          note.text = app::book::Composed(note.text);
          note.author = app::book::Composed(arguments->book.author);
          note.at = app::book::NowUtc();
          record.annotations.push_back(note);
          return std::nullopt;
        },
        session);
  });
}
}  // namespace

void AddBookKeeping(CLI::App& book, Session& session) {
  AddNewBook(book, session);
  AddRoles(book, session);
  AddAdd(book, session);
  AddPut(book, session);
  AddNote(book, session);
}

}  // namespace app::cli
