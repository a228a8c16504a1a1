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

/// First welds (R0) that were judged, by welder: how many of them lay within every rule at once.
/// Columns: welder, judged, within, share.
vision::Result<std::vector<CsvRow>> FirstPassByWelder(Book& book);

/// Runs with the original edge visible, by the clock hour they touch (looking along +z, 12 = the joint's datum).
/// Columns: clock, runs, degrees (of arc that lies in that hour, from half past to half past).
vision::Result<std::vector<CsvRow>> UnfusedByClock(Book& book);

/// Columns: insert_class, judged, within, beyond, not_decided; over every cycle.
vision::Result<std::vector<CsvRow>> OutcomeByInsertClass(Book& book);

}  // namespace app::book
