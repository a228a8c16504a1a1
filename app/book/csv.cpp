#include "app/book/csv.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <string_view>

#include "app/joint/cautions.h"

namespace app::book {

std::string CsvNumber(double value) {
  if (!std::isfinite(value)) return "";
  char text[40];
  const auto end = std::to_chars(text, text + sizeof text, value).ptr;
  return {text, end};
}

namespace {
bool IsNumber(const std::string& cell) {
  double value = 0;
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  return error == std::errc() && end == cell.data() + cell.size();
}

/// What a spreadsheet would take for a formula gets an apostrophe before it; numbers stay numbers.
std::string Harmless(const std::string& cell) {
  // = + - @, tabulator and carriage return, and the full-width forms that some programs fold to them
  constexpr std::array<std::string_view, 10> kStarts{
      "=", "+", "-", "@", "\t", "\r", "\xef\xbc\x9d", "\xef\xbc\x8b", "\xef\xbc\x8d", "\xef\xbc\xa0"};
  const std::size_t first = cell.find_first_not_of(' ');
  const std::string_view rest = std::string_view(cell).substr(first == std::string::npos ? cell.size() : first);
  const bool formula = std::any_of(kStarts.begin(), kStarts.end(), [&](auto start) { return rest.starts_with(start); });
  return formula && !IsNumber(cell) ? "'" + cell : cell;
}
}  // namespace

std::string ToCsv(const std::vector<CsvRow>& rows) {
  std::string text;
  for (const auto& row : rows) {
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i > 0) text += ',';
      const std::string cell = Harmless(row[i]);
      if (cell.find_first_of(",\"\r\n") == std::string::npos) {
        text += cell;
        continue;
      }
      text += '"';
      for (const char letter : cell) text += letter == '"' ? std::string("\"\"") : std::string(1, letter);
      text += '"';
    }
    text += "\r\n";
  }
  return text;
}

std::vector<CsvRow> WithCaution(std::vector<CsvRow> rows) {
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i].emplace_back(i == 0 ? "caution" : app::joint::kSupports);
  return rows;
}

vision::Result<std::vector<CsvRow>> FromCsv(const std::string& text, const std::string& name) {
  std::vector<CsvRow> rows;
  CsvRow row(1);
  bool quoted = false;
  const auto end_row = [&] {
    if (row.size() > 1 || !row[0].empty()) rows.push_back(row);
    row.assign(1, "");
  };
  for (std::size_t i = text.starts_with("\xef\xbb\xbf") ? 3 : 0; i < text.size(); ++i) {
    const char letter = text[i];
    if (quoted && letter == '"' && i + 1 < text.size() && text[i + 1] == '"')
      row.back() += text[i++];
    else if (letter == '"')
      quoted = !quoted;
    else if (quoted || (letter != ',' && letter != '\n' && letter != '\r'))
      row.back() += letter;
    else if (letter == ',')
      row.emplace_back();
    else if (letter == '\n')
      end_row();
  }
  end_row();
  if (quoted) return vision::BadInput(name + ": a quote is opened and never closed.");
  for (std::size_t i = 1; i < rows.size(); ++i)
    if (rows[i].size() != rows[0].size())
      return vision::BadInput(name + ", line " + std::to_string(i + 1) + " has " + std::to_string(rows[i].size()) +
                              " values; the first line has " + std::to_string(rows[0].size()) + ".");
  return rows;
}

}  // namespace app::book
