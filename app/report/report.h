#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/compare/change_read.h"
#include "app/joint/criteria.h"
#include "app/joint/joint.h"
#include "app/joint/verdict.h"
#include "app/known/known.h"
#include "app/known/notes_beside.h"
#include "app/report/stamp.h"
#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/reading/reading.h"

/// The record of one reading on paper (PDF) and on the screen (one self-contained HTML file). Lays out what the reading
/// and the verdict say and computes nothing of its own; it supports and never replaces the qualified examiner.
namespace app::report {

enum class Paper { kA4, kLetter };

/// A limit of the user's own for the width of the root; no shipped standard has one.
struct WidthLimit {
  std::optional<double> least_mm, most_mm;  ///< At least one of the two.
  std::string source;                       ///< Where the limit stands: "house rule 12, 2026-03". Must not be empty.
};

struct ReportOptions {
  Paper paper = Paper::kA4;
  bool inches = false;  ///< Decimal inches and the nearest fraction beside every millimetre in words and tables.
  int fraction_denominator = 64;  ///< 64 or 32.
  std::string written_on;         ///< Date on the record, ISO 8601; empty = today (UTC).
  std::string html_name = "report.html", pdf_name = "report.pdf";  ///< Plain file names.

  /// @return First broken constraint, nullopt when all hold.
  vision::Status Check() const;
};

/// All that a report is made from; a snapshot. InputOf makes it, for window, command and book alike.
struct ReportInput {
  app::joint::Joint joint;
  vision::reading::Reading reading;       ///< As measured; `notes` is laid over it by the record itself.
  app::joint::Verdict verdict;            ///< On what is known: reading and notes.
  std::filesystem::path reading_folder;   ///< Where reading.json and the pictures it names lie.
  std::optional<WidthLimit> width_limit;  ///< Drawn on the width ribbon when given.
  std::optional<RecordStamp> stamp = {};  ///< Where the record comes from a joint book.
  HousePaper paper = {};
  std::vector<compare::SaidChange> changes = {};  ///< Before and after a blend: a part of the record for each.
  notes::Notes notes = {};                        ///< What people decided and drew.
  known::Recorded recorded = {};                  ///< Where that is kept.
};

/// The one composition: what was measured, what people decided, judged by `set`, with the width limit that the set may
/// have. @param measured As measured.
ReportInput InputOf(const app::joint::Joint& joint, const vision::reading::Reading& measured, const known::Told& told,
                    const app::joint::CriteriaSet& set, const std::filesystem::path& reading_folder);

struct ReportFiles {
  std::filesystem::path html, pdf;
  int pages = 0;                        ///< Of the PDF.
  std::vector<std::string> in_english;  ///< What had no other words where a language or a wording was asked for.
};

/// Writes both files into `out_dir` (made when absent), each under a temporary name first and then renamed, after both
/// have been made whole: an earlier report stays untouched when anything fails.
/// Needs no display: makes an offscreen QGuiApplication for the life of the process when there is none.
/// @return kBadInput for a broken option, a reading whose arrays disagree, or a picture named by the reading that is
///   missing or unreadable; kIo when the folder cannot be written; kCancelled, with nothing written.
vision::Result<ReportFiles> WriteReport(const ReportInput& input, const std::filesystem::path& out_dir,
                                        const ReportOptions& options = {}, const vision::JobContext& job = {});

/// Names of the languages that ship beside English, ISO 639-1.
const std::vector<std::string>& Languages();

/// @return kBadInput where no wording of this language ships.
vision::Status CheckLanguage(const std::string& language);

/// Reads a company's paper. The logo's path is relative to the file. @return kBadInput naming what is wrong.
vision::Result<HousePaper> LoadPaper(const std::filesystem::path& file);

/// Makes the offscreen QGuiApplication of WriteReport now: a program that makes another Qt application object before a
/// report calls this first.
vision::Status StartOffscreen();

}  // namespace app::report
