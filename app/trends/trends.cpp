#include "app/trends/trends.h"

#include "vision/base/file.h"

namespace app::trends {
namespace {

std::vector<report::TrendShare> Drawn(const std::vector<book::Outcomes>& outcomes) {
  std::vector<report::TrendShare> shares;
  for (const auto& one : outcomes) shares.push_back({one.name, one.judged, one.within, one.beyond, one.low, one.high});
  return shares;
}

}  // namespace

vision::Result<Found> Ask(book::Book& book) {
  auto welders = book::FirstPassByWelder(book);
  if (!welders.ok()) return welders.error();
  auto inserts = book::OutcomeByInsertClass(book);
  if (!inserts.ok()) return inserts.error();
  auto hours = book::UnfusedByClock(book);
  if (!hours.ok()) return hours.error();
  return Found{book.database().address().Shown(), std::move(welders).value(), std::move(inserts).value(),
               std::move(hours).value()};
}

report::Trends ToDraw(const Found& found) {
  report::Trends trends{found.book, Drawn(found.welders), Drawn(found.inserts), {}};
  for (const auto& hour : found.hours) trends.hours.push_back({hour.hour, hour.runs, hour.degrees});
  return trends;
}

vision::Result<std::vector<std::filesystem::path>> WriteCsv(const Found& found, const std::filesystem::path& folder) {
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  std::vector<std::filesystem::path> files;
  for (const auto& [name, rows] : {std::pair{"welders.csv", book::ToRows(found.welders, "welder")},
                                   {"clock.csv", book::ToRows(found.hours)},
                                   {"inserts.csv", book::ToRows(found.inserts, "insert_class")}}) {
    if (auto failed = vision::WriteFileWhole(folder / name, book::ToCsv(book::WithCaution(rows)))) return *failed;
    files.push_back(folder / name);
  }
  return files;
}

}  // namespace app::trends
