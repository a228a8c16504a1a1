#include "vision/study/table.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <sstream>

namespace vision::study {
namespace {

std::string Trimmed(const std::string& text) {
  const auto from = text.find_first_not_of(" \t\r");
  if (from == std::string::npos) return "";
  return text.substr(from, text.find_last_not_of(" \t\r") - from + 1);
}

std::vector<std::string> Fields(const std::string& line) {
  std::vector<std::string> fields(1);
  bool quoted = false;
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line[i] == '"' && quoted && i + 1 < line.size() && line[i + 1] == '"')
      fields.back() += line[i++];
    else if (line[i] == '"')
      quoted = !quoted;
    else if (line[i] == ',' && !quoted)
      fields.emplace_back();
    else
      fields.back() += line[i];
  }
  for (auto& field : fields) field = Trimmed(field);
  return fields;
}

std::string Listed(const std::vector<std::string>& names) {
  std::string all;
  for (const auto& name : names) all += (all.empty() ? "" : ", ") + name;
  return all;
}

}  // namespace

bool Table::Has(const std::string& column) const {
  return std::find(columns.begin(), columns.end(), column) != columns.end();
}

Result<Table> ReadTable(const std::string& text, const std::string& name) {
  Table table{name, {}, {}};
  std::istringstream lines(text.starts_with("\xEF\xBB\xBF") ? text.substr(3) : text);
  std::string line;
  for (int number = 1; std::getline(lines, line); ++number) {
    if (Trimmed(line).empty() || Trimmed(line).front() == '#') continue;
    auto fields = Fields(line);
    if (table.columns.empty()) {
      table.columns = std::move(fields);
      continue;
    }
    if (fields.size() != table.columns.size())
      return BadInput(name + ": line " + std::to_string(number) + " has " + std::to_string(fields.size()) +
                      " fields; the heading has " + std::to_string(table.columns.size()) + ".");
    table.rows.push_back(std::move(fields));
  }
  if (table.rows.empty()) return BadInput(name + " holds no row; it needs a line of column names and rows below it.");
  return table;
}

Result<std::vector<std::string>> TextColumn(const Table& table, const std::string& column) {
  const auto found = std::find(table.columns.begin(), table.columns.end(), column);
  if (found == table.columns.end())
    return BadInput(table.name + " has no column `" + column + "`; it has: " + Listed(table.columns) + ".");
  std::vector<std::string> values;
  for (const auto& row : table.rows) values.push_back(row[static_cast<std::size_t>(found - table.columns.begin())]);
  return values;
}

Result<std::vector<double>> NumberColumn(const Table& table, const std::string& column) {
  auto texts = TextColumn(table, column);
  if (!texts.ok()) return texts.error();
  std::vector<double> numbers;
  for (const auto& text : texts.value()) {
    double number = 0;
    const auto [end, failed] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (failed != std::errc() || end != text.data() + text.size() || !std::isfinite(number))
      return BadInput(table.name + ": column `" + column + "`, row " + std::to_string(numbers.size() + 1) + " is `" +
                      text + "`; it must be a number.");
    numbers.push_back(number);
  }
  return numbers;
}

}  // namespace vision::study
