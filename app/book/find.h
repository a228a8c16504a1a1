#pragma once

#include <string>
#include <vector>

#include "app/book/book.h"
#include "app/book/csv.h"

/// Looking for joints, and what many of them say together.
namespace app::book {

/// Empty fields ask nothing. Texts are compared whole; line, and welder of any cycle.
struct FindFilter {
  std::string joint;  ///< Any part of the id.
  std::string line, welder;
  std::string from, to;     ///< Dates of welding of any cycle, YYYY-MM-DD, both included.
  std::string disposition;  ///< Of the newest cycle, such as "proposed: within".
  std::string sha256;       ///< Names this file.
  bool open_findings = false;
  std::int64_t most = 1000;  ///< Rows; in [1, 1000000].

  [[nodiscard]] vision::Status Check() const;
};

struct JointLine {
  std::string joint;
  std::int64_t revision = 0;
  std::string line, material, cycle, welder, welded_on, disposition;
  std::int64_t open_findings = 0;
  std::string changed_at;
};

/// Sorted by joint id.
vision::Result<std::vector<JointLine>> Find(Book& book, const FindFilter& filter);

/// Titles first.
std::vector<CsvRow> ToRows(const std::vector<JointLine>& lines);

/// What became of those judged under one name. The share is of those that were decided; what was not decided stands
/// apart and is in no denominator. The interval is for that share: two-sided, 95 %, exact (Clopper and Pearson,
/// Biometrika 26 (1934) 404). It holds for welds drawn at random from a steady stock; it knows
/// nothing of how hard they were.
struct Outcomes {
  std::string name;
  int judged = 0, within = 0, beyond = 0;
  double low = 0, high = 1;

  int Decided() const { return within + beyond; }
  int NotDecided() const { return judged - Decided(); }
  /// NaN where none was decided.
  double Share() const { return static_cast<double>(within) / Decided(); }
};

/// First welds (R0) that were judged, by welder: how many of them lay within every rule at once.
vision::Result<std::vector<Outcomes>> FirstPassByWelder(Book& book);

/// Over every cycle.
vision::Result<std::vector<Outcomes>> OutcomeByInsertClass(Book& book);

/// Runs with the original edge visible in one clock hour (looking along +z, 12 = the joint's datum).
struct ClockHour {
  int hour = 12, runs = 0;
  double degrees = 0;  ///< Of arc that lies in that hour, from half past to half past.
};

/// Twelve, from 12 o'clock on.
vision::Result<std::vector<ClockHour>> UnfusedByClock(Book& book);

/// Titles first: NAME, judged, decided, within, beyond, not_decided, share_of_decided, low_95, high_95.
std::vector<CsvRow> ToRows(const std::vector<Outcomes>& outcomes, const std::string& name);
/// Titles first: clock, runs, degrees.
std::vector<CsvRow> ToRows(const std::vector<ClockHour>& hours);

}  // namespace app::book
