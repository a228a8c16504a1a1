#include "app/book/bundle.h"
#include "app/book/layout.h"
#include "app/book/profile_csv.h"
#include "app/book/signoff.h"
#include "app/cli/book_steps.h"
#include "app/diconde/diconde.h"
#include "vision/base/file.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;

struct ExchangeArguments {
  BookArguments book;
  std::string joint, file, cycle = "R0", owner;
  app::book::ImportOptions import;
};

void AddExport(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("export", "Put a joint with all its revisions and files into one zip file");
  auto arguments = std::make_shared<ExchangeArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("joint", arguments->joint, "Joint id")->required();
  command->add_option("--out", arguments->file, "The zip file")->required();
  command->callback([arguments, &session] {
    auto opened = OpenBook(arguments->book, true, session);
    if (!opened) return;
    if (auto failed = app::book::ExportBundle(*opened, arguments->joint, arguments->file)) return session.Fail(*failed);
    session.Say("Written: " + arguments->file);
  });
}

void AddImport(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("import", "Take in a joint from a zip file that `export` wrote");
  auto arguments = std::make_shared<ExchangeArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("file", arguments->file, "The zip file")->required();
  command->add_flag("--trust-keys", arguments->import.trust_keys,
                    "Register keys of the bundle that this book does not know; compare their fingerprints first");
  command->callback([arguments, &session] {
    auto opened = OpenBook(arguments->book, false, session);
    if (!opened) return;
    auto report = app::book::ImportBundle(*opened, arguments->file, arguments->import);
    if (!report.ok()) return session.Fail(report.error());
    session.Say(
        "Joint " + report.value().joint + ": " + std::to_string(report.value().revisions) + " revisions, " +
        std::to_string(report.value().signoffs) + " sign-offs, " + std::to_string(report.value().files) + " files" +
        (report.value().without_sum ? "; the bundle is of an early version, without a sum over all of it" : ""));
    SaySeal(*opened, session);
  });
}

/// A reading laid out, and the revision it comes from.
struct Laid {
  app::book::Revision revision;
  app::book::LaidReading reading;
};

std::optional<Laid> LayStep(app::book::Book& book, const ExchangeArguments& arguments, Session& session) {
  auto revision = book.Load(arguments.joint);
  if (!revision.ok()) return session.Fail(revision.error()), std::nullopt;
  auto record = app::book::FromJson(revision.value().body, "Joint " + arguments.joint);
  if (!record.ok()) return session.Fail(record.error()), std::nullopt;
  auto laid = app::book::LayNewest(book, record.value(), arguments.cycle);
  if (!laid.ok()) return session.Fail(laid.error()), std::nullopt;
  return Laid{std::move(revision).value(), std::move(laid).value()};
}

void AddCycleExport(CLI::App& command, const std::shared_ptr<ExchangeArguments>& arguments) {
  AddBookAddress(command, arguments->book);
  command.add_option("joint", arguments->joint, "Joint id")->required();
  command.add_option("--cycle", arguments->cycle, "R0, R1, ...")->capture_default_str();
  command.add_option("--out", arguments->file, "Folder; made when absent")->required();
}

void AddCsv(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("csv", "Write the newest reading of a joint as profile.csv and findings.csv");
  auto arguments = std::make_shared<ExchangeArguments>();
  AddCycleExport(*command, arguments);
  command->callback([arguments, &session] {
    auto opened = OpenBook(arguments->book, true, session);
    if (!opened) return;
    auto laid = LayStep(*opened, *arguments, session);
    if (!laid) return;
    const fs::path folder = arguments->file;
    std::error_code ignored;
    fs::create_directories(folder, ignored);
    const auto& told = laid->reading.told;
    const auto known = app::known::Know(laid->reading.reading, told.notes, told.recorded);
    for (const auto& [name, rows] : {std::pair{"profile.csv", app::book::ProfileRows(known)},
                                     std::pair{"findings.csv", app::book::FindingRows(known, laid->reading.verdict)}})
      if (auto failed = vision::WriteFileWhole(folder / name, app::book::ToCsv(app::book::WithCaution(rows))))
        return session.Fail(*failed);
    session.Say("Written: " + (folder / "profile.csv").string() + ", findings.csv\n" + CautionText());
  });
}

/// Name on the newest sign-off as an examiner, "" when nobody signed.
std::string Examiner(app::book::Book& book, const std::string& joint) {
  auto signoffs = app::book::SignOffs(book, joint);
  std::string name;
  if (signoffs.ok())
    for (const auto& signoff : signoffs.value())
      if (signoff.statement.kind == "examined") name = signoff.statement.name;
  return name;
}

void RunDiconde(const ExchangeArguments& arguments, Session& session) {
  auto opened = OpenBook(arguments.book, true, session);
  if (!opened) return;
  auto laid = LayStep(*opened, arguments, session);
  if (!laid) return;
  app::diconde::Input input;
  input.joint = laid->reading.joint;
  input.reading = laid->reading.reading;
  input.reading_folder = laid->reading.folder;
  for (const auto& still : laid->reading.stills) input.frames.push_back({still.path, still.name});
  input.cycle = arguments.cycle;
  input.record_hash = laid->revision.hash;
  input.examined_on = laid->revision.made_at.substr(0, 10);
  input.inspector = Examiner(*opened, arguments.joint);
  input.owner = arguments.owner;
  input.settings = laid->reading.settings;
  auto written = app::diconde::Write(input, arguments.file);
  if (!written.ok()) return session.Fail(written.error());
  session.Say("Written: " + written.value().strip.string() + " and " + std::to_string(written.value().frames.size()) +
              " frames: E2339 component module in DICOM visible-light objects.\n" + CautionText());
}

void AddDiconde(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("diconde", "Write frames, strip and findings of a joint as DICOM files");
  auto arguments = std::make_shared<ExchangeArguments>();
  AddCycleExport(*command, arguments);
  command->add_option("--owner", arguments->owner, "Owner of the component");
  command->callback([arguments, &session] { RunDiconde(*arguments, session); });
}
}  // namespace

void AddBookExchange(CLI::App& book, Session& session) {
  AddExport(book, session);
  AddImport(book, session);
  AddCsv(book, session);
  AddDiconde(book, session);
}

}  // namespace app::cli
