#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/cli/session.h"
#include "app/report/report.h"
#include "vision/reading/measure.h"

/// The steps that several commands share.
namespace app::cli {

struct MeasureArguments {
  std::string joint, out;
  std::vector<std::string> recordings;
  vision::reading::MeasureOptions options;
  std::string criterion;  ///< Sets how certain a height must be; empty = the joint file's own.
  std::optional<double> max_expanded_uncertainty_mm;  ///< Takes the place of what the criterion asks for.
  std::string mount;                                  ///< How the head rides (app/joint/mount.h); empty = joint file.
  bool mirrored = false;
};

void AddMeasureArguments(CLI::App& command, MeasureArguments& arguments);

struct MeasureOutcome {
  app::joint::Joint joint;
  vision::reading::Measured measured;
};

/// @return nullopt after the session has said why.
std::optional<MeasureOutcome> MeasureStep(const MeasureArguments& arguments, Session& session);

/// The one composition: the reading as measured, the notes beside the joint file, judged by `criterion` (empty = the
/// joint file's own). @return nullopt after the session has said why.
std::optional<app::report::ReportInput> ComposeStep(const app::joint::Joint& joint,
                                                    const vision::reading::Reading& reading,
                                                    const std::string& criterion, const std::string& folder,
                                                    Session& session);

struct PaperArguments {
  std::string paper = "A4", criterion;
  bool inches = false;
  std::string language;  ///< Of the record; empty = English.
  std::string change;    ///< A change.json whose page goes into the record; empty = none.
};

void AddPaperArguments(CLI::App& command, PaperArguments& arguments);

/// --language of a page.
void AddLanguage(CLI::App& command, std::string& language);

/// Says what had no other words in the language that was asked for; nothing where all had.
void SayEnglish(const app::report::ReportFiles& files, const Session& session);

/// Writes verdict.json, report.html and report.pdf into the reading's folder.
bool ReportStep(app::report::ReportInput input, const PaperArguments& paper, Session& session);

/// The verdict in words.
std::string VerdictText(const app::joint::Verdict& verdict);

}  // namespace app::cli
