#include <algorithm>
#include <cstdio>
#include <memory>

#include "app/book/digest.h"
#include "app/cli/commands.h"
#include "app/cli/steps.h"
#include "app/joint/criteria.h"
#include "vision/base/file.h"
#include "vision/base/says.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;

struct JudgeArguments {
  std::string folder, joint;
  PaperArguments paper;
};

void AddFolderArguments(CLI::App& command, JudgeArguments& arguments) {
  command.add_option("folder", arguments.folder, "Folder that `rootscroll measure` wrote (holds reading.json)")
      ->required();
  command.add_option("--joint", arguments.joint, "The joint file")->required();
}

struct Loaded {
  app::joint::Joint joint;
  vision::reading::Reading reading;
  std::string sha256;                    ///< Of reading.json.
  std::vector<vision::Sentence> doubts;  ///< What an earlier verdict tells of it.
};

const vision::Sentence kChanged{vision::Says::kAnotherReading};

/// A reading that was judged once and is another now; the doubt stays with later verdicts until it is measured anew.
std::vector<vision::Sentence> DoubtsOf(const fs::path& folder, const std::string& sha256) {
  const auto text = vision::ReadFileWhole(folder / "verdict.json");
  if (!text.ok()) return {};
  const auto verdict = app::joint::VerdictFromJson(text.value(), "verdict.json");
  if (!verdict.ok()) return {};
  const auto& notes = verdict.value().notes;
  const bool before = std::find(notes.begin(), notes.end(), kChanged) != notes.end();
  const auto& judged = verdict.value().reading_sha256;
  if (before || (!judged.empty() && judged != sha256)) return {kChanged};
  return {};
}

/// Says by which reading the verdict was reached, and what is doubtful about it.
void Mark(const Loaded& loaded, app::joint::Verdict& verdict) {
  verdict.reading_sha256 = loaded.sha256;
  verdict.notes.insert(verdict.notes.end(), loaded.doubts.begin(), loaded.doubts.end());
}

/// @return nullopt after the session has said why.
std::optional<Loaded> LoadStep(const JudgeArguments& arguments, Session& session) {
  auto joint = app::joint::LoadJoint(arguments.joint);
  if (!joint.ok()) return session.Fail(joint.error()), std::nullopt;
  auto reading = LoadReading(arguments.folder);
  if (!reading.ok()) return session.Fail(reading.error()), std::nullopt;
  auto sha256 = app::book::Sha256OfFile(fs::path(arguments.folder) / "reading.json");
  if (!sha256.ok()) return session.Fail(sha256.error()), std::nullopt;
  auto doubts = DoubtsOf(arguments.folder, sha256.value());
  return Loaded{std::move(joint).value(), std::move(reading).value(), sha256.value(), std::move(doubts)};
}

}  // namespace

std::string VerdictText(const app::joint::Verdict& verdict) {
  std::string text = verdict.criterion + " (" + verdict.standard + ", " + verdict.edition + ")";
  for (const auto& finding : verdict.findings)
    text += "\n  " + app::joint::WordsOf(finding.outcome) + ": " + finding.title + " [" + finding.paragraph +
            "]: " + EnglishOf(finding.reason);
  text += "\n" + verdict.disposition + (verdict.decided_by.empty() ? "" : ", decided by: " + verdict.decided_by);
  for (const auto& note : verdict.notes) text += "\nNote: " + EnglishOf(note);
  return text + "\n" + CautionText();
}

std::optional<app::report::ReportInput> ComposeStep(const app::joint::Joint& joint,
                                                    const vision::reading::Reading& reading,
                                                    const std::string& criterion, const std::string& folder,
                                                    Session& session) {
  auto set = app::joint::LoadCriteria(criterion.empty() ? joint.criterion : criterion, joint.file.parent_path());
  if (!set.ok()) return session.Fail(set.error()), std::nullopt;
  auto told = app::known::NotesBeside(joint);
  if (!told.ok()) return session.Fail(told.error()), std::nullopt;
  if (!told.value().remark.empty()) session.Say(told.value().remark);
  return app::report::InputOf(joint, reading, told.value(), set.value(), folder);
}

void AddPaperArguments(CLI::App& command, PaperArguments& arguments) {
  command.add_option("--page-size", arguments.paper, "A4 or Letter")
      ->check(CLI::IsMember({"A4", "Letter"}))
      ->capture_default_str();
  command.add_flag("--inches", arguments.inches, "Inches and fractions beside millimetres");
  command.add_option("--criterion", arguments.criterion, "A shipped set or your own file, instead of the joint file's");
  AddLanguage(command, arguments.language);
}

void AddLanguage(CLI::App& command, std::string& language) {
  std::vector<std::string> known = app::report::Languages();
  known.insert(known.begin(), "en");
  command.add_option("--language", language, "Of the page; names, numbers and what people typed stay as they are")
      ->check(CLI::IsMember(known));
}

void SayEnglish(const app::report::ReportFiles& files, const Session& session) {
  if (files.in_english.empty()) return;
  session.Say("Stayed as they are, names or without other words: " + std::to_string(files.in_english.size()) +
              " texts.");
  for (const auto& text : files.in_english) session.Say("  " + text);
}

vision::Status AddChange(const std::string& file, app::report::ReportInput& input) {
  auto change = app::compare::ReadChange(file);
  if (!change.ok()) return change.error();
  if (change.value().joint_id != input.joint.id)
    return vision::BadInput(file + ": joint_id is " + change.value().joint_id +
                            "; it must be that of the joint file, " + input.joint.id + ".");
  input.changes.push_back(std::move(change).value());
  return std::nullopt;
}

bool ReportStep(app::report::ReportInput input, const PaperArguments& paper, Session& session) {
  const std::string folder = input.reading_folder.string();
  if (!paper.change.empty())
    if (auto failed = AddChange(paper.change, input)) return session.Fail(*failed), false;
  app::report::ReportOptions options;
  options.paper = paper.paper == "Letter" ? app::report::Paper::kLetter : app::report::Paper::kA4;
  options.inches = paper.inches;
  input.paper.language = paper.language;
  auto files = app::report::WriteReport(input, folder, options, session.Job());
  if (!files.ok()) return session.Fail(files.error()), false;
  if (auto failed = vision::WriteFileWhole(fs::path(folder) / "verdict.json", app::joint::ToJson(input.verdict)))
    return session.Fail(*failed), false;
  session.Say("Report: " + files.value().html.string() + "\n        " + files.value().pdf.string());
  SayEnglish(files.value(), session);
  return true;
}

void AddJudge(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand("judge", "Judge a reading by a named criterion: writes verdict.json");
  auto arguments = std::make_shared<JudgeArguments>();
  AddFolderArguments(*command, *arguments);
  command->add_option("--criterion", arguments->paper.criterion,
                      "A shipped set or your own file, instead of the joint file's");
  command->callback([arguments, &session] {
    const auto loaded = LoadStep(*arguments, session);
    if (!loaded) return;
    auto input = ComposeStep(loaded->joint, loaded->reading, arguments->paper.criterion, arguments->folder, session);
    if (!input) return;
    auto& verdict = input->verdict;
    Mark(*loaded, verdict);
    if (auto failed = vision::WriteFileWhole(fs::path(arguments->folder) / "verdict.json", app::joint::ToJson(verdict)))
      return session.Fail(*failed);
    session.Say(VerdictText(verdict));
    if (session.json) std::printf("%s", app::joint::ToJson(verdict).c_str());
    session.exit_code = verdict.exit_code;
  });
}

void AddReport(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand("report", "Write the joint record's page: report.html and report.pdf");
  auto arguments = std::make_shared<JudgeArguments>();
  AddFolderArguments(*command, *arguments);
  AddPaperArguments(*command, arguments->paper);
  command->add_option("--change", arguments->paper.change,
                      "A change.json of `rootscroll compare`: before and after become a part of the record");
  command->callback([arguments, &session] {
    const auto loaded = LoadStep(*arguments, session);
    if (!loaded) return;
    auto input = ComposeStep(loaded->joint, loaded->reading, arguments->paper.criterion, arguments->folder, session);
    if (!input) return;
    Mark(*loaded, input->verdict);
    if (ReportStep(*input, arguments->paper, session)) session.exit_code = input->verdict.exit_code;
  });
}

void AddRun(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand("run", "All of it: measure, judge and report");
  struct Arguments {
    MeasureArguments measure;
    PaperArguments paper;
  };
  auto arguments = std::make_shared<Arguments>();
  AddMeasureArguments(*command, arguments->measure);
  AddPaperArguments(*command, arguments->paper);
  command->callback([arguments, &session] {
    arguments->measure.criterion = arguments->paper.criterion;
    const auto outcome = MeasureStep(arguments->measure, session);
    if (!outcome) return;
    const auto& reading = outcome->measured.reading;
    auto input = ComposeStep(outcome->joint, reading, arguments->paper.criterion, arguments->measure.out, session);
    if (!input) return;
    if (auto failed = vision::reading::WriteMeasured(outcome->measured, arguments->measure.out))
      return session.Fail(*failed);
    input->verdict.reading_sha256 = app::book::Sha256(vision::reading::ToJson(reading));
    session.Say(VerdictText(input->verdict));
    if (!ReportStep(*input, arguments->paper, session)) return;
    if (session.json) std::printf("%s", app::joint::ToJson(input->verdict).c_str());
    session.exit_code = input->verdict.exit_code;
  });
}

}  // namespace app::cli
