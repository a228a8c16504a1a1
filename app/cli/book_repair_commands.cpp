#include <cstdio>

#include "app/book/layout.h"
#include "app/book/notes_taken.h"
#include "app/cli/book_steps.h"
#include "app/cli/steps.h"
#include "app/compare/change_read.h"
#include "app/compare/compare.h"
#include "app/repair/repair_plan.h"
#include "app/report/card.h"
#include "app/report/change_page.h"
#include "vision/base/file.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;
using app::book::Book;
using app::book::Cycle;
using app::book::FileRef;
using app::book::Record;

struct RepairArguments {
  BookArguments book;
  std::string joint, cycle = "R1", before, file;
  std::vector<double> theta_deg, z_mm;
};

vision::Result<Cycle*> CycleOf(Record& record, const std::string& id) {
  if (Cycle* cycle = record.FindCycle(id)) return cycle;
  return vision::NotFound("Joint " + record.joint + " has no cycle " + id + ".");
}

/// Takes a file that this program made into the evidence.
vision::Result<FileRef> Made(Book& book, const fs::path& file, const std::vector<std::string>& from,
                             const std::string& what) {
  auto ref = book.evidence().Copy(file);
  if (!ref.ok()) return ref;
  ref.value().kind = "derived";
  ref.value().from = from;
  ref.value().settings = "rootscroll " ROOTSCROLL_VERSION ", " + what;
  return ref;
}

/// A folder for files on their way into the book.
struct Passing {
  fs::path folder;
  explicit Passing(const char* name)
      : folder(fs::temp_directory_path() / (std::string("rootscroll_") + name + "_" + std::to_string(::getpid()))) {
    std::error_code ignored;
    fs::remove_all(folder, ignored);
    fs::create_directories(folder, ignored);
  }
  ~Passing() {
    std::error_code ignored;
    fs::remove_all(folder, ignored);
  }
  Passing(const Passing&) = delete;
  Passing& operator=(const Passing&) = delete;
};

/// The joint as the newest cycle that has a recording knows it.
vision::Result<app::joint::Joint> JointOf(Book& book, const Record& record) {
  for (auto cycle = record.cycles.rbegin(); cycle != record.cycles.rend(); ++cycle) {
    if (cycle->recordings.empty()) continue;
    auto work = app::book::WorkFolder::Lay(book, cycle->recordings.back());
    if (!work.ok()) return work.error();
    return app::joint::LoadJoint(work.value().joint_file());
  }
  return vision::NotFound("Joint " + record.joint + " has no recording, so nothing says what pipe it is.");
}

vision::Status AddPlan(const RepairArguments& arguments, Book& book, Record& record, Session& session) {
  auto cycle = CycleOf(record, arguments.cycle);
  if (!cycle.ok()) return cycle.error();
  const auto repair = app::repair::LoadRepair(arguments.file);
  if (!repair.ok()) return repair.error();
  if (!repair.value().cycle.empty() && repair.value().cycle != arguments.cycle)
    return vision::BadInput(arguments.file + ": cycle is " + repair.value().cycle + "; it must be " + arguments.cycle +
                            ".");
  const auto joint = JointOf(book, record);
  if (!joint.ok()) return joint.error();
  const auto plan = app::repair::MakePlan(joint.value(), repair.value());
  if (!plan.ok()) return plan.error();
  const Passing passing("plan");
  const auto card = app::report::WriteCard(plan.value(), passing.folder, app::report::Paper::kA4);
  if (!card.ok()) return card.error();
  const std::string json = app::repair::ToJson(plan.value());
  if (auto failed = vision::WriteFileWhole(passing.folder / "repair_plan.json", json)) return failed;
  auto file = book.evidence().Copy(arguments.file);
  if (!file.ok()) return file.error();
  app::book::RepairEntry entry{
      file.value(), {}, {}, repair.value().indication, app::repair::NameOf(plan.value().answer)};
  for (const auto& made : {passing.folder / "repair_plan.json", card.value().pdf, card.value().html}) {
    auto ref = Made(book, made, {file.value().sha256}, "blend plan");
    if (!ref.ok()) return ref.error();
    if (entry.plan.sha256.empty())
      entry.plan = ref.value();
    else
      entry.cards.push_back(ref.value());
  }
  cycle.value()->repairs.push_back(std::move(entry));
  session.Say(app::repair::ToText(plan.value()) + CautionText());
  return std::nullopt;
}

vision::Status AddChange(const RepairArguments& arguments, Book& book, Record& record, Session& session) {
  auto cycle = CycleOf(record, arguments.cycle);
  if (!cycle.ok()) return cycle.error();
  auto before = app::book::LayNewest(book, record, arguments.before);
  if (!before.ok()) return before.error();
  auto after = app::book::LayNewest(book, record, arguments.cycle);
  if (!after.ok()) return after.error();
  std::vector<app::compare::GivenPlace> places;
  for (std::size_t i = 0; i < arguments.theta_deg.size(); ++i)
    places.push_back({arguments.theta_deg[i], arguments.z_mm[i], 0});
  auto compared =
      app::compare::Compare(after.value().joint, before.value().folder, after.value().folder, places, session.Job());
  if (!compared.ok()) return compared.error();
  compared.value().before.folder = arguments.before, compared.value().after.folder = arguments.cycle;
  const Passing passing("change");
  if (auto failed = app::compare::Write(compared.value(), passing.folder)) return failed;
  const auto said = app::compare::ReadChange(passing.folder / "change.json");
  if (!said.ok()) return said.error();
  const auto page = app::report::WriteChangePage(said.value(), passing.folder, app::report::Paper::kA4);
  if (!page.ok()) return page.error();
  const std::vector<std::string> from{before.value().reading_sha256, after.value().reading_sha256};
  app::book::ChangeEntry entry{arguments.before, {}, {}};
  for (const char* name : {"change.json", "change_before.png", "change_after.png", "change_difference.png",
                           "change.png", "change.pdf", "change.html"}) {
    auto ref = Made(book, passing.folder / name, from, "compare " + arguments.before + " " + arguments.cycle);
    if (!ref.ok()) return ref.error();
    if (entry.change.sha256.empty())
      entry.change = ref.value();
    else
      entry.pictures.push_back(ref.value());
  }
  cycle.value()->changes.push_back(std::move(entry));
  session.Say(app::compare::ToText(compared.value()) + CautionText());
  return std::nullopt;
}

vision::Status AddNotes(const RepairArguments& arguments, Book& book, Record& record, Session&) {
  return app::book::TakeNotes(book, record, arguments.cycle, arguments.file);
}

using Step = vision::Status (*)(const RepairArguments&, Book&, Record&, Session&);

std::shared_ptr<RepairArguments> AddStep(CLI::App& book, Session& session, const char* name, const char* what,
                                         Step step, CLI::App** command) {
  auto arguments = std::make_shared<RepairArguments>();
  *command = book.add_subcommand(name, what);
  AddBookAddress(**command, arguments->book);
  (*command)->add_option("joint", arguments->joint, "Joint id")->required();
  AddAuthor(**command, arguments->book);
  (*command)->callback([arguments, step, &session] {
    if (arguments->theta_deg.size() != arguments->z_mm.size())
      return session.Fail(vision::BadInput("--theta and --z must be given the same number of times."));
    if (auto failed = app::report::StartOffscreen()) return session.Fail(*failed);
    ChangeRecord(
        arguments->book, arguments->joint,
        [&](Book& opened, Record& record) { return step(*arguments, opened, record, session); }, session);
  });
  return arguments;
}

}  // namespace

void AddBookRepair(CLI::App& book, Session& session) {
  CLI::App* command = nullptr;
  auto plan = AddStep(book, session, "repair", "Put a blend's repair file, its plan and its card on the record",
                      AddPlan, &command);
  command->add_option("file", plan->file, "The repair file (rootscroll.repair/1)")->required();
  command->add_option("--cycle", plan->cycle, "The cycle it is done in")->capture_default_str();
  auto change = AddStep(book, session, "compare", "Compare the newest readings of two cycles and keep the result",
                        AddChange, &command);
  command->add_option("--before", change->before, "The earlier cycle")->required();
  command->add_option("--cycle", change->cycle, "The later cycle; the result is kept there")->capture_default_str();
  command->add_option("--theta", change->theta_deg, "Where an indication lay: degrees; may be given again");
  command->add_option("--z", change->z_mm, "Its mm from the weld's middle, towards b positive");
  auto notes = AddStep(book, session, "window-notes", "Put the notes of the window on the record", AddNotes, &command);
  command->add_option("file", notes->file, "joint.notes.json (rootscroll.notes/1)")->required();
  notes->cycle = "R0";
  command->add_option("--cycle", notes->cycle, "The cycle they are about")->capture_default_str();
}

}  // namespace app::cli
