#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "app/report/content.h"
#include "app/report/report.h"

/// What many joints of a book say together, as plots for page and window. Draws what it is given and computes nothing.
namespace app::report {

/// What became of those judged under one name, with the two-sided 95 % interval of the share that lay within, of those
/// decided.
struct TrendShare {
  std::string name;
  int judged = 0, within = 0, beyond = 0;
  double low = 0, high = 1;
};

/// Unfused runs in one clock hour.
struct TrendHour {
  int hour = 12, runs = 0;
  double degrees = 0;
};

struct Trends {
  std::string book;  ///< Its address, without a password.
  std::vector<TrendShare> welders, inserts;
  std::vector<TrendHour> hours;  ///< Twelve, from 12 o'clock on.
};

/// One row a name: the counts, the share as a point, the interval as a line. Long lists make several figures.
std::vector<Figure> ShareFigures(const std::vector<TrendShare>& shares, const Text& title, const Text& of_what,
                                 double width_mm);

/// Runs by clock hour, looking along +z.
Figure HoursFigure(const std::vector<TrendHour>& hours, double width_mm);

/// Headings, figures and what they mean, in the order of the page.
std::vector<Block> TrendBlocks(const Trends& trends, double width_mm);

/// Writes trends.html and trends.pdf into `out_dir`, and trend_welders.png, trend_clock.png, trend_inserts.png (of a
/// long list the first figure), each whole.
vision::Result<ReportFiles> WriteTrends(const Trends& trends, const std::filesystem::path& out_dir, Paper paper,
                                        const HousePaper& house = {});

}  // namespace app::report
