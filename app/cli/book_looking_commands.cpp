#include <cstdio>
#include <nlohmann/json.hpp>

#include "app/book/find.h"
#include "app/book/signoff.h"
#include "app/book/verify.h"
#include "app/book/witness.h"
#include "app/cli/book_steps.h"
#include "app/cli/steps.h"
#include "app/joint/json_check.h"
#include "app/trends/trends.h"
#include "vision/base/text.h"

namespace app::cli {
namespace {

using app::book::CsvRow;

struct ListArguments {
  BookArguments book;
  app::book::FindFilter filter;
};

/// Columns as wide as their widest value.
std::string Aligned(const std::vector<CsvRow>& rows) {
  std::vector<std::size_t> widths(rows.front().size(), 0);
  for (const auto& row : rows)
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], row[i].size());
  std::string text;
  for (const auto& row : rows) {
    std::string line;
    for (std::size_t i = 0; i < row.size(); ++i) line += row[i] + std::string(widths[i] - row[i].size() + 2, ' ');
    text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
  }
  return text;
}

void AddList(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("list", "List joints, or find some; --csv for a file");
  auto arguments = std::make_shared<ListArguments>();
  auto csv = std::make_shared<bool>(false);
  auto& filter = arguments->filter;
  AddBookAddress(*command, arguments->book);
  command->add_option("--joint", filter.joint, "Part of the joint id");
  command->add_option("--line", filter.line, "Line");
  command->add_option("--welder", filter.welder, "Welder of any cycle");
  command->add_option("--from", filter.from, "Welded on or after, YYYY-MM-DD");
  command->add_option("--to", filter.to, "Welded on or before, YYYY-MM-DD");
  command->add_option("--disposition", filter.disposition, "Of the newest cycle, such as \"proposed: within\"");
  command->add_option("--sha256", filter.sha256, "Joints that name the file with this hash");
  command->add_flag("--open", filter.open_findings, "With open findings only");
  command->add_option("--most", filter.most, "Rows at most")->capture_default_str();
  command->add_flag("--csv", *csv, "Comma-separated values");
  command->callback([arguments, csv, &session] {
    auto opened = OpenBook(arguments->book, true, session);
    if (!opened) return;
    auto lines = app::book::Find(*opened, arguments->filter);
    if (!lines.ok()) return session.Fail(lines.error());
    auto rows = app::book::ToRows(lines.value());
    for (auto& row : rows)
      for (auto& cell : row) cell = vision::Printable(cell);
    if (*csv) {
      std::fputs(app::book::ToCsv(app::book::WithCaution(rows)).c_str(), stdout);
    } else {
      std::fputs(Aligned(rows).c_str(), stdout);
      std::printf("%s\n", app::joint::kSupports);
    }
  });
}

struct TrendArguments {
  BookArguments book;
  std::string of, out, house, paper = "A4", language;
};

/// All three at once, drawn.
void DrawTrends(app::book::Book& book, const TrendArguments& arguments, Session& session) {
  auto found = app::trends::Ask(book);
  if (!found.ok()) return session.Fail(found.error());
  app::report::HousePaper house;
  if (!arguments.house.empty()) {
    auto paper = app::report::LoadPaper(arguments.house);
    if (!paper.ok()) return session.Fail(paper.error());
    house = std::move(paper).value();
  }
  if (!arguments.language.empty()) house.language = arguments.language;
  const auto paper = arguments.paper == "Letter" ? app::report::Paper::kLetter : app::report::Paper::kA4;
  auto files = app::report::WriteTrends(app::trends::ToDraw(found.value()), arguments.out, paper, house);
  if (!files.ok()) return session.Fail(files.error());
  session.Say("Trends: " + files.value().html.string() + "\n        " + files.value().pdf.string() + "\n" +
              CautionText());
  SayEnglish(files.value(), session);
}

void PrintTrends(app::book::Book& book, const std::string& of, Session& session) {
  const auto print = [&session](const auto& found, auto... name) {
    if (!found.ok()) return session.Fail(found.error());
    std::fputs(app::book::ToCsv(app::book::WithCaution(app::book::ToRows(found.value(), name...))).c_str(), stdout);
  };
  if (of == "welders") return print(app::book::FirstPassByWelder(book), "welder");
  if (of == "inserts") return print(app::book::OutcomeByInsertClass(book), "insert_class");
  print(app::book::UnfusedByClock(book));
}

void AddTrends(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("trends", "What many joints say together: as CSV, or drawn");
  auto arguments = std::make_shared<TrendArguments>();
  AddBookAddress(*command, arguments->book);
  auto* of = command->add_option("--of", arguments->of, "welders, clock or inserts: printed as CSV")
                 ->check(CLI::IsMember({"welders", "clock", "inserts"}));
  command->add_option("--out", arguments->out, "Folder for all three drawn: trends.pdf, trends.html and pictures")
      ->excludes(of);
  command->add_option("--company-paper", arguments->house, "The company's paper (rootscroll.paper/1)");
  AddLanguage(*command, arguments->language);
  command->add_option("--page-size", arguments->paper, "A4 or Letter")
      ->check(CLI::IsMember({"A4", "Letter"}))
      ->capture_default_str();
  command->callback([arguments, &session] {
    if (arguments->of.empty() && arguments->out.empty())
      return session.Fail(vision::BadInput("Trends need --of (welders, clock or inserts) or --out (a folder)."));
    if (arguments->of.empty())
      if (auto failed = app::report::StartOffscreen()) return session.Fail(*failed);
    auto opened = OpenBook(arguments->book, true, session);
    if (!opened) return;
    if (arguments->of.empty()) return DrawTrends(*opened, *arguments, session);
    PrintTrends(*opened, arguments->of, session);
  });
}

struct ShowArguments {
  BookArguments book;
  std::string joint;
  std::int64_t revision = 0;
};

void AddShow(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("show", "Print the record of a joint (JSON), to read or to edit for `put`");
  auto arguments = std::make_shared<ShowArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("joint", arguments->joint, "Joint id")->required();
  command->add_option("--revision", arguments->revision, "A revision; the newest when not given")
      ->check(CLI::PositiveNumber);
  command->callback([arguments, &session] {
    auto opened = OpenBook(arguments->book, true, session);
    if (!opened) return;
    auto revision = opened->Load(arguments->joint, arguments->revision);
    if (!revision.ok()) return session.Fail(revision.error());
    if (revision.value().ComputeHash() != revision.value().hash)
      return session.Fail(vision::BadInput("Joint " + arguments->joint + ", revision " +
                                           std::to_string(revision.value().number) +
                                           " is BROKEN: it is no longer what was saved; run `book verify`."));
    const auto json = app::joint::ParseJson(revision.value().body, "Joint " + arguments->joint);
    if (!json.ok()) return session.Fail(json.error());
    std::printf("%s\n", vision::PrintableLines(json.value().dump(1)).c_str());
    if (!session.quiet) std::fprintf(stderr, "%s\n", app::joint::kSupports);  // beside the record, which `put` reads
  });
}

/// The sign-offs of a joint, broken ones said so.
vision::Result<std::string> SignOffText(app::book::Book& book, const std::string& joint) {
  auto signoffs = app::book::SignOffs(book, joint);
  if (!signoffs.ok()) return signoffs.error();
  auto revoked = app::book::Revocations(book);
  if (!revoked.ok()) return revoked.error();
  std::string text;
  for (const auto& signoff : signoffs.value()) {
    const auto& statement = signoff.statement;
    auto revision = book.Load(joint, statement.revision);
    auto key = app::book::FindKey(book, signoff.fingerprint);
    if (!key.ok()) return key.error();
    auto fault = app::book::SignOffFault(signoff, revision.ok() ? revision.value().ComputeHash() : "", key.value());
    if (fault.empty()) fault = app::book::RevocationFault(revoked.value(), signoff.fingerprint, statement.signed_at);
    text += "  " +
            vision::Printable("revision " + std::to_string(statement.revision) + " " + statement.kind + " by " +
                              statement.name + ", " + statement.role + ", " + statement.qualification + ", " +
                              statement.signed_at + (fault.empty() ? "" : ": BROKEN, " + fault)) +
            "\n";
  }
  return text;
}

void AddHistory(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("history", "List the revisions and sign-offs of a joint");
  auto arguments = std::make_shared<ShowArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("joint", arguments->joint, "Joint id")->required();
  command->callback([arguments, &session] {
    auto opened = OpenBook(arguments->book, true, session);
    if (!opened) return;
    auto history = opened->History(arguments->joint);
    if (!history.ok()) return session.Fail(history.error());
    if (history.value().empty()) return session.Fail(vision::NotFound("There is no joint " + arguments->joint + "."));
    for (const auto& revision : history.value())
      std::printf("%s\n",
                  vision::Printable(std::to_string(revision.number) + "  " + revision.made_at + "  " + revision.author +
                                    " (" + revision.login + "): " + revision.reason + "  " + revision.hash)
                      .c_str());
    auto signoffs = SignOffText(*opened, arguments->joint);
    if (!signoffs.ok()) return session.Fail(signoffs.error());
    std::fputs(signoffs.value().c_str(), stdout);
    std::printf("%s\n", app::joint::kSupports);
  });
}

void PrintReport(const app::book::VerifyReport& report, bool sealed, Session& session) {
  if (session.json) {
    nlohmann::ordered_json json{{"clean", report.clean()},
                                {"joints", report.joints},
                                {"revisions", report.revisions},
                                {"signoffs", report.signoffs},
                                {"time_stamps", report.time_stamps},
                                {"files", report.files},
                                {"bytes", report.bytes},
                                {"seal", report.seal},
                                {"sealed", sealed},
                                {"faults", nlohmann::json::array()},
                                {"remarks", nlohmann::json::array()}};
    for (const auto& [name, list] : {std::pair{"faults", &report.faults}, std::pair{"remarks", &report.remarks}})
      for (const auto& fault : *list) json[name].push_back({{"what", fault.what}, {"text", fault.text}});
    std::printf("%s\n", vision::PrintableLines(json.dump(1)).c_str());
    return;
  }
  for (const auto& fault : report.faults)
    std::printf("%s\n", vision::Printable(fault.what + ": " + fault.text).c_str());
  for (const auto& remark : report.remarks)
    session.Say("remark, " + remark.what + ": " + vision::Printable(remark.text));
  session.Say(
      std::to_string(report.joints) + " joints, " + std::to_string(report.revisions) + " revisions, " +
      std::to_string(report.signoffs) + " sign-offs" +
      (report.time_stamps > 0 ? " (" + std::to_string(report.time_stamps) + " with a time stamp)" : "") + ", " +
      std::to_string(report.files) + " files of " + std::to_string(report.bytes) +
      " bytes: " + (report.clean() ? "nothing has changed." : std::to_string(report.faults.size()) + " faults.") +
      "\nSeal: " + report.seal +
      (sealed ? ""
              : "\nNo seal was given: what nobody signed could have been written anew with all its hashes. Give "
                "a seal noted outside the book with --seal, or a file of them with --witness."));
}

void AddVerify(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand(
      "verify",
      "Prove that nothing in the book changed, or name what did (exit 1): files, revisions, sign-offs, journal");
  auto arguments = std::make_shared<BookArguments>();
  auto options = std::make_shared<app::book::VerifyOptions>();
  auto skip = std::make_shared<bool>(false);
  AddBookAddress(*command, *arguments);
  command->add_option("--seal", options->seal, "A seal noted earlier, which must still be in the journal")
      ->check([](const std::string& text) {
        return app::book::IsSeal(text) ? std::string()
                                       : "a seal is 64 small hexadecimal digits, as `book seal` prints it";
      });
  auto witness = std::make_shared<std::string>();
  command->add_option("--witness", *witness, "A file of seals noted earlier (book seal --witness), each of its line");
  command->add_option("--time-authority", options->time_authority,
                      "PEM file of the certificates that time stamps must go back to");
  command->add_flag("--database-only", *skip, "Do not read the evidence files");
  command->callback([arguments, options, skip, witness, &session] {
    if (!witness->empty()) {
      auto lines = app::book::ReadWitness(*witness);
      if (!lines.ok()) return session.Fail(lines.error());
      options->witness = lines.value();
    }
    auto opened = OpenBook(*arguments, true, session);
    if (!opened) return;
    options->evidence = !*skip;
    auto report = app::book::Verify(*opened, *options, session.Job());
    if (!report.ok()) return session.Fail(report.error());
    PrintReport(report.value(), options->sealed(), session);
    session.exit_code = report.value().clean() ? kDone : kBeyond;
  });
}

void AddSeal(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("seal", "Print the book's newest seal, to be noted outside the book");
  auto arguments = std::make_shared<BookArguments>();
  auto witness = std::make_shared<std::string>();
  AddBookAddress(*command, *arguments);
  command->add_option("--witness", *witness, "Add it to this text file, which somebody else keeps");
  command->callback([arguments, witness, &session] {
    auto opened = OpenBook(*arguments, true, session);
    if (!opened) return;
    auto seal = opened->Seal();
    if (!seal.ok()) return session.Fail(seal.error());
    if (!witness->empty())
      if (auto failed = app::book::AddWitness(*witness, seal.value())) return session.Fail(*failed);
    std::printf("%lld %s\n", static_cast<long long>(seal.value().seq), seal.value().seal.c_str());
  });
}
}  // namespace

void AddBookLooking(CLI::App& book, Session& session) {
  AddList(book, session);
  AddTrends(book, session);
  AddShow(book, session);
  AddHistory(book, session);
  AddVerify(book, session);
  AddSeal(book, session);
}

}  // namespace app::cli
