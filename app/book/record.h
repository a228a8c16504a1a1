#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"

/// What the book holds about one joint: the body of one revision (JSON `rootscroll.record/1`). Files are named by their
/// SHA-256; the bytes lie in the evidence store. Degrees and millimetres as in the joint file.
namespace app::book {

/// A file as evidence.
struct FileRef {
  std::string sha256;
  std::int64_t bytes = 0;
  std::string name;               ///< As it was called.
  std::string named;              ///< As the joint file names it, for files it is measured by.
  std::string kind = "original";  ///< original | derived
  std::string held = "copied";    ///< copied (into the evidence store) | referenced (stays at `path`)
  std::string path;               ///< Where a referenced file lies.
  std::vector<std::string> from;  ///< Derived: SHA-256 of what it was made from.
  std::string settings;           ///< Derived: program and settings it was made with.
  std::string clock, zone;        ///< Recorder's clock and time zone, as recorded; never corrected.

  bool operator==(const FileRef&) const = default;
};

struct RecordingEntry {
  std::string id, stage;
  FileRef joint_file;          ///< The joint file it is measured by.
  std::vector<FileRef> files;  ///< All that the joint file names for it.
};

struct ReadingEntry {
  std::vector<std::string> recordings;
  std::string program_version, made_at;
  bool weld_found = false;
  FileRef reading;
  std::vector<FileRef> pictures;
};

struct VerdictEntry {
  std::string criterion, standard, edition, disposition, decided_by;
  int exit_code = 3;
  std::string reading;  ///< SHA-256 of the reading it judges.
  FileRef file;

  bool operator==(const VerdictEntry&) const = default;
};

struct ReportEntry {
  std::int64_t revision = 0;  ///< The revision it prints.
  std::string made_at;
  std::vector<FileRef> files;
};

struct PurgeRow {
  std::string time, gas;
  std::optional<double> oxygen_ppm, dew_point_c;
};

struct Purge {
  std::vector<PurgeRow> rows;
  std::optional<FileRef> source;  ///< The CSV it was read from; absent: typed.
};

/// Looked through for foreign material and found clear, or not.
struct CloseOut {
  std::string when, by;
  std::string after;  ///< "purge", "blend 1", ...
  std::string found;  ///< "nothing left inside", or what was found.
};

/// A blend as planned: the repair file, the plan that was made of it and the grinder's card.
struct RepairEntry {
  FileRef file, plan;
  std::vector<FileRef> cards;
  std::string indication, answer;  ///< What was rejected; go | no-go | take a reading.
};

/// This cycle's reading against that of an earlier one.
struct ChangeEntry {
  std::string before;             ///< The earlier cycle.
  FileRef change;                 ///< change.json
  std::vector<FileRef> pictures;  ///< Those it names, and its page.
};

struct FindingEntry {
  std::string kind;  ///< As in the reading ("unfused", "pore") or the rule's title.
  std::string iso6520, side;
  double start_deg = 0, end_deg = 0;
  std::string state = "open";  ///< open | closed
  std::string closed_because;
};

/// R0 is the first weld, R1 the first repair, ...
struct Cycle {
  std::string id = "R0";
  std::string welder, welded_on;
  std::vector<RecordingEntry> recordings;
  std::vector<ReadingEntry> readings;
  std::vector<VerdictEntry> verdicts;
  std::vector<ReportEntry> reports;
  Purge purge;
  std::vector<FileRef> film, samples;  ///< Pictures of the film and of workmanship samples.
  std::vector<CloseOut> closeouts;
  std::vector<FindingEntry> findings;
  std::vector<RepairEntry> repairs;
  std::vector<ChangeEntry> changes;
  std::vector<FileRef> notes;  ///< What people drew and wrote on the joint in the window (rootscroll.notes/1).

  /// The last verdict's, "" when none was given.
  std::string Disposition() const;
};

struct Annotation {
  std::string author, at, cycle, text;
  std::optional<double> theta_deg, z_mm;
};

struct Record {
  std::string joint, line, material, insert_class, criterion, piece_a, piece_b;
  std::vector<Cycle> cycles;
  std::vector<Annotation> annotations;

  Cycle* FindCycle(const std::string& id);
  /// Every file the record names.
  std::vector<const FileRef*> Files() const;
  /// @return First thing that cannot stand in a book: no joint id, cycles not R0, R1, ... in order, a hash that is
  /// none, a file name with a folder in it, a text that the gate does not let in (text_gate.h).
  vision::Status Check() const;
};

/// Canonical: keys sorted, one line.
std::string ToJson(const Record& record);

/// @param name How the text is called in a message. An unknown key is an error.
vision::Result<Record> FromJson(const std::string& text, const std::string& name);

/// Every text of a record against the gate (text_gate.h): what a book of before the gate may hold.
vision::Status CheckTextsOf(const Record& record);

/// Now, UTC, ISO 8601 with seconds and Z.
std::string NowUtc();

/// Whether `text` is a calendar date YYYY-MM-DD.
bool IsDate(const std::string& text);

}  // namespace app::book
