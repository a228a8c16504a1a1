#include <algorithm>
#include <cstdio>

#include "app/book/layout.h"
#include "app/book/signoff.h"
#include "app/cli/book_steps.h"
#include "app/cli/steps.h"
#include "app/report/report.h"

namespace app::cli {
namespace {

using app::book::Cycle;
using app::book::FileRef;

struct ReportArguments {
  BookArguments book;
  std::string joint, cycle = "R0", out, house;
  std::int64_t revision = 0;
  PaperArguments paper;
  bool attach = false;
};

std::string NumberText(const std::optional<double>& value) {
  if (!value) return "not noted";
  char text[40];
  std::snprintf(text, sizeof text, "%g", *value);
  return text;
}

vision::Result<std::vector<app::report::StampSignature>> SignaturesOf(app::book::Book& book,
                                                                      const app::book::Revision& revision) {
  auto signoffs = app::book::SignOffs(book, revision.joint);
  if (!signoffs.ok()) return signoffs.error();
  std::vector<app::report::StampSignature> signatures;
  for (const auto& signoff : signoffs.value()) {
    const auto& s = signoff.statement;
    if (s.revision != revision.number) continue;
    auto key = app::book::FindKey(book, signoff.fingerprint);
    if (!key.ok()) return key.error();
    signatures.push_back({s.kind,
                          s.name,
                          s.role,
                          s.signed_at,
                          {{"Qualification", s.qualification + ", valid to " + s.qualification_expires},
                           {"Vision test", s.vision_test},
                           {"Procedure", s.procedure},
                           {"Light level", s.light_level},
                           {"Resolution demonstrated", s.resolution},
                           {"Key (Ed25519)", signoff.fingerprint}},
                          s.statement,
                          app::book::SignOffFault(signoff, revision.ComputeHash(), key.value())});
  }
  return signatures;
}

app::report::StampTable FilesTable(const Cycle& cycle) {
  app::report::StampTable table{"Evidence", {"file", "kind", "SHA-256", "recorder's clock, as recorded"}, {}};
  const auto add = [&table](const FileRef& ref) {
    table.rows.push_back({ref.name, ref.kind, ref.sha256, ref.clock + (ref.zone.empty() ? "" : ", " + ref.zone)});
  };
  for (const auto& recording : cycle.recordings)
    for (const auto& file : recording.files) add(file);
  if (!cycle.readings.empty()) {
    add(cycle.readings.back().reading);
    for (const auto& picture : cycle.readings.back().pictures) add(picture);
  }
  for (const auto* list : {&cycle.film, &cycle.samples, &cycle.notes})
    for (const auto& file : *list) add(file);
  for (const auto& repair : cycle.repairs) {
    add(repair.file), add(repair.plan);
    for (const auto& card : repair.cards) add(card);
  }
  for (const auto& change : cycle.changes) {
    add(change.change);
    for (const auto& picture : change.pictures) add(picture);
  }
  return table;
}

std::vector<app::report::StampTable> TablesOf(const app::book::Record& record, const Cycle& cycle) {
  std::vector<app::report::StampTable> tables;
  app::report::StampTable repairs{"Cycles of this joint", {"cycle", "welder", "welded on", "disposition"}, {}};
  for (const auto& each : record.cycles)
    repairs.rows.push_back({each.id, each.welder, each.welded_on, each.Disposition()});
  tables.push_back(repairs);
  app::report::StampTable purge{"Purge log", {"time", "gas", "oxygen, ppm", "dew point, °C"}, {}};
  for (const auto& row : cycle.purge.rows)
    purge.rows.push_back({row.time, row.gas, NumberText(row.oxygen_ppm), NumberText(row.dew_point_c)});
  app::report::StampTable closed{"Foreign material close-out", {"after", "when", "by", "found"}, {}};
  for (const auto& closeout : cycle.closeouts)
    closed.rows.push_back({closeout.after, closeout.when, closeout.by, closeout.found});
  app::report::StampTable blends{"Blends planned", {"indication", "answer", "repair file"}, {}};
  for (const auto& repair : cycle.repairs) blends.rows.push_back({repair.indication, repair.answer, repair.file.name});
  app::report::StampTable notes{"Annotations", {"when", "by", "text"}, {}};
  for (const auto& note : record.annotations) notes.rows.push_back({note.at, note.author, note.text});
  for (const auto* table : {&purge, &closed, &blends, &notes})
    if (!table->rows.empty()) tables.push_back(*table);
  tables.push_back(FilesTable(cycle));
  return tables;
}

std::vector<app::report::StampPicture> PicturesOf(const app::book::Book& book, const Cycle& cycle) {
  std::vector<app::report::StampPicture> pictures;
  for (const auto& file : cycle.film)
    pictures.push_back({book.evidence().PathOf(file), "radiographic film: " + file.name});
  for (const auto& file : cycle.samples)
    pictures.push_back({book.evidence().PathOf(file), "workmanship sample: " + file.name});
  return pictures;
}

vision::Result<app::report::RecordStamp> StampOf(app::book::Book& book, const app::book::Revision& revision,
                                                 app::book::Record& record, const std::string& cycle_id) {
  auto signatures = SignaturesOf(book, revision);
  if (!signatures.ok()) return signatures.error();
  auto seal = book.Seal();
  if (!seal.ok()) return seal.error();
  const Cycle* cycle = record.FindCycle(cycle_id);
  if (cycle == nullptr) return vision::NotFound("Joint " + record.joint + " has no cycle " + cycle_id + ".");
  app::report::RecordStamp stamp;
  stamp.revision = revision.number;
  stamp.cycle = cycle_id;
  stamp.hash = revision.hash;
  stamp.author = revision.author;
  stamp.made_at = revision.made_at;
  stamp.reason = revision.reason;
  stamp.seal = seal.value().seal;
  if (revision.ComputeHash() != revision.hash)
    stamp.fault = "This revision is no longer what was saved: its SHA-256 differs. It proves nothing.";
  stamp.signatures = signatures.value();
  stamp.tables = TablesOf(record, *cycle);
  stamp.pictures = PicturesOf(book, *cycle);
  return stamp;
}

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
  record.FindCycle(arguments.cycle)->reports.push_back(entry);
  BookArguments change = arguments.book;
  change.reason = "report of revision " + std::to_string(revision.number);
  SaveStep(book, change, record, revision.number, session);
}

long OverruledIn(const app::joint::Verdict& verdict) {
  return std::count_if(verdict.findings.begin(), verdict.findings.end(), [](const app::joint::Finding& finding) {
    return finding.outcome == app::joint::Outcome::kOverruled;
  });
}

void RunReport(const ReportArguments& arguments, Session& session) {
  if (auto failed = app::report::StartOffscreen()) return session.Fail(*failed);
  if (arguments.attach && (arguments.book.author.empty() || arguments.revision != 0))
    return session.Fail(vision::BadInput("--attach needs --author, and prints the newest revision."));
  auto book = OpenBook(arguments.book, !arguments.attach, session);
  if (!book) return;
  auto revision = book->Load(arguments.joint, arguments.revision);
  if (!revision.ok()) return session.Fail(revision.error());
  auto record = app::book::FromJson(revision.value().body, "Joint " + arguments.joint);
  if (!record.ok()) return session.Fail(record.error());
  auto laid = app::book::LayNewest(*book, record.value(), arguments.cycle);
  if (!laid.ok()) return session.Fail(laid.error());
  auto stamp = StampOf(*book, revision.value(), record.value(), arguments.cycle);
  if (!stamp.ok()) return session.Fail(stamp.error());
  const auto& joint = laid.value().joint;
  auto set = app::joint::LoadCriteria(joint.criterion, joint.file.parent_path());
  if (!set.ok()) return session.Fail(set.error());
  laid.value().told.recorded.revision = static_cast<long>(revision.value().number);
  auto input = app::report::InputOf(joint, laid.value().reading, laid.value().told, set.value(), laid.value().folder);
  const bool knows_notes = OverruledIn(laid.value().verdict) == OverruledIn(input.verdict);
  input.verdict = laid.value().verdict;  // as it is on the record, never a newer one
  if (!knows_notes)
    input.verdict.notes.push_back(
        "The notes on the record are newer than this verdict: put them on again with `rootscroll book window-notes`.");
  input.stamp = stamp.value();
  if (!arguments.house.empty()) {
    auto paper = app::report::LoadPaper(arguments.house);
    if (!paper.ok()) return session.Fail(paper.error());
    input.paper = paper.value();
  }
  if (!arguments.paper.language.empty()) input.paper.language = arguments.paper.language;
  app::report::ReportOptions options;
  options.paper = arguments.paper.paper == "Letter" ? app::report::Paper::kLetter : app::report::Paper::kA4;
  options.inches = arguments.paper.inches;
  auto changes = app::book::LayChanges(*book, *record.value().FindCycle(arguments.cycle), laid.value().folder);
  if (!changes.ok()) return session.Fail(changes.error());
  for (const auto& file : changes.value()) {
    auto change = app::compare::ReadChange(file);
    if (!change.ok()) return session.Fail(change.error());
    input.changes.push_back(std::move(change).value());
  }
  auto files = app::report::WriteReport(input, arguments.out, options, session.Job());
  if (!files.ok()) return session.Fail(files.error());
  session.Say("Report: " + files.value().html.string() + "\n        " + files.value().pdf.string() + "\n" +
              CautionText());
  SayEnglish(files.value(), session);
  session.exit_code = laid.value().verdict.exit_code;
  if (arguments.attach) Attach(*book, arguments, record.value(), revision.value(), files.value(), session);
}
}  // namespace

void AddBookReport(CLI::App& book, Session& session) {
  auto* command = book.add_subcommand("report", "Print a revision of a joint: report.html and report.pdf");
  auto arguments = std::make_shared<ReportArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("joint", arguments->joint, "Joint id")->required();
  command->add_option("--cycle", arguments->cycle, "R0, R1, ...")->capture_default_str();
  command->add_option("--revision", arguments->revision, "A revision; the newest when not given")
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
