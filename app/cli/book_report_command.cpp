#include "app/book/record.h"
#include "app/cli/book_steps.h"
#include "app/cli/steps.h"
#include "app/printed/printed.h"

namespace app::cli {
namespace {

struct ReportArguments {
  BookArguments book;
  app::printed::PrintRequest print;
  std::string out, house;
  PaperArguments paper;
  bool attach = false;
};

/// Puts the written report on the record, as the next revision.
void Attach(app::book::Book& book, const ReportArguments& arguments, app::book::Record record,
            const app::book::Revision& revision, const app::report::ReportFiles& files, Session& session) {
  app::book::ReportEntry entry{revision.number, app::book::NowUtc(), {}};
  for (const auto& file : {files.html, files.pdf}) {
    auto ref = book.evidence().Copy(file);
    if (!ref.ok()) return session.Fail(ref.error());
    ref.value().kind = "derived";
    ref.value().from = {revision.hash};
    ref.value().settings = "rootscroll " ROOTSCROLL_VERSION ", report of revision " + std::to_string(revision.number);
    entry.files.push_back(ref.value());
  }
  record.FindCycle(arguments.print.cycle)->reports.push_back(entry);
  BookArguments change = arguments.book;
  change.reason = "report of revision " + std::to_string(revision.number);
  SaveStep(book, change, record, revision.number, session);
}

void RunReport(const ReportArguments& arguments, Session& session) {
  if (auto failed = app::report::StartOffscreen()) return session.Fail(*failed);
  if (arguments.attach && (arguments.book.author.empty() || arguments.print.revision != 0))
    return session.Fail(vision::BadInput("--attach needs --author, and prints the newest revision."));
  auto book = OpenBook(arguments.book, !arguments.attach, session);
  if (!book) return;
  auto printed = app::printed::PrintOf(*book, arguments.print);
  if (!printed.ok()) return session.Fail(printed.error());
  auto& input = printed.value().input;
  if (!arguments.house.empty()) {
    auto paper = app::report::LoadPaper(arguments.house);
    if (!paper.ok()) return session.Fail(paper.error());
    input.paper = paper.value();
  }
  if (!arguments.paper.language.empty()) input.paper.language = arguments.paper.language;
  app::report::ReportOptions options;
  options.paper = arguments.paper.paper == "Letter" ? app::report::Paper::kLetter : app::report::Paper::kA4;
  options.inches = arguments.paper.inches;
  auto files = app::report::WriteReport(input, arguments.out, options, session.Job());
  if (!files.ok()) return session.Fail(files.error());
  session.Say("Report: " + files.value().html.string() + "\n        " + files.value().pdf.string() + "\n" +
              CautionText());
  SayEnglish(files.value(), session);
  session.exit_code = input.verdict.exit_code;
  if (arguments.attach)
    Attach(*book, arguments, printed.value().record, printed.value().revision, files.value(), session);
}
}  // namespace

void AddBookReport(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("report", "Print a revision of a joint: report.html and report.pdf");
  auto arguments = std::make_shared<ReportArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("joint", arguments->print.joint, "Joint id")->required();
  command->add_option("--cycle", arguments->print.cycle, "R0, R1, ...")->capture_default_str();
  command->add_option("--revision", arguments->print.revision, "A revision; the newest when not given")
      ->check(CLI::PositiveNumber);
  command->add_option("--out", arguments->out, "Folder; made when absent")->required();
  command->add_option("--company-paper", arguments->house,
                      "The company's paper (rootscroll.paper/1): logo, header, texts, wording");
  command->add_option("--page-size", arguments->paper.paper, "A4 or Letter")
      ->check(CLI::IsMember({"A4", "Letter"}))
      ->capture_default_str();
  AddLanguage(*command, arguments->paper.language);
  command->add_flag("--inches", arguments->paper.inches, "Inches and fractions beside millimetres");
  command->add_flag("--attach", arguments->attach, "Put the report on the record, as the next revision");
  command->add_option("--author", arguments->book.author, "Who attaches it");
  command->callback([arguments, &session] { RunReport(*arguments, session); });
}

}  // namespace app::cli
