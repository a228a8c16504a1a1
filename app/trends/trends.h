#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "app/book/find.h"
#include "app/report/trends.h"

/// What many joints of a book say together, asked once for the page, the window and the CSV files.
namespace app::trends {

struct Found {
  std::string book;                     ///< Its address, without a password.
  std::vector<book::Outcomes> welders;  ///< First welds, by welder.
  std::vector<book::Outcomes> inserts;  ///< All cycles, by class of insert.
  std::vector<book::ClockHour> hours;   ///< Original edge still visible; twelve, from 12 o'clock on.
};

vision::Result<Found> Ask(book::Book& book);

report::Trends ToDraw(const Found& found);

/// Writes welders.csv, clock.csv and inserts.csv into `folder` (made when absent), each whole.
/// @return Their paths; kIo when one cannot be written.
vision::Result<std::vector<std::filesystem::path>> WriteCsv(const Found& found, const std::filesystem::path& folder);

}  // namespace app::trends
