#include "app/book/purge_csv.h"

#include <algorithm>
#include <charconv>

#include "app/book/csv.h"

namespace app::book {

namespace {
std::optional<double> Number(const std::string& text) {
  double value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}
}  // namespace

vision::Result<std::vector<PurgeRow>> PurgeFromCsv(const std::string& text, const std::string& name) {
  auto table = FromCsv(text, name);
  if (!table.ok()) return table.error();
  const auto& rows = table.value();
  const auto column = [&](const char* title) -> std::optional<std::size_t> {
    if (rows.empty()) return std::nullopt;
    const auto at = std::find(rows[0].begin(), rows[0].end(), title);
    return at == rows[0].end() ? std::nullopt : std::optional(static_cast<std::size_t>(at - rows[0].begin()));
  };
  const auto time = column("time"), oxygen = column("oxygen_ppm"), gas = column("gas"), dew = column("dew_point_c");
  if (!time || !oxygen)
    return vision::BadInput(name +
                            " must begin with a line that names the columns time and oxygen_ppm (and gas, "
                            "dew_point_c).");
  std::vector<PurgeRow> log;
  for (std::size_t i = 1; i < rows.size(); ++i) {
    PurgeRow row{rows[i][*time], gas ? rows[i][*gas] : "", Number(rows[i][*oxygen]), {}};
    const std::string line = name + ", line " + std::to_string(i + 1);
    if (!row.oxygen_ppm || *row.oxygen_ppm < 0 || *row.oxygen_ppm > 1e6)
      return vision::BadInput(line + ": oxygen_ppm is " + rows[i][*oxygen] +
                              "; it must be a number from 0 to 1000000.");
    if (dew && !rows[i][*dew].empty()) {
      row.dew_point_c = Number(rows[i][*dew]);
      if (!row.dew_point_c)
        return vision::BadInput(line + ": dew_point_c is " + rows[i][*dew] + "; it must be a number.");
    }
    log.push_back(row);
  }
  return log;
}

}  // namespace app::book
