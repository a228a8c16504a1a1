#include "app/book/find.h"

#include <algorithm>
#include <cmath>

#include "vision/study/distribution.h"

namespace app::book {

namespace {
std::string Literal(const std::string& part) {  // % and _ mean themselves
  std::string escaped;
  for (const char letter : part) {
    if (letter == '%' || letter == '_' || letter == '!') escaped += '!';
    escaped += letter;
  }
  return "%" + escaped + "%";
}

struct Question {
  std::string sql =
      "SELECT id, head, line, material, cycle, welder, welded_on, disposition, open_findings, changed_at FROM joint";
  std::vector<Value> values;

  void And(const std::string& condition, const std::vector<Value>& more) {
    sql += (values.empty() ? " WHERE " : " AND ") + condition;
    values.insert(values.end(), more.begin(), more.end());
  }
};

/// Degrees that [start, end), clockwise, shares with [from, to), all in degrees; from < to.
double Shared(double start, double end, double from, double to) {
  double span = end - start;
  if (span < 0) span += 360;
  double shared = 0;
  for (const double turn : {-360.0, 0.0, 360.0})
    shared += std::max(0.0, std::min(start + span, to + turn) - std::max(start, from + turn));
  return shared;
}
}  // namespace

vision::Status FindFilter::Check() const {
  for (const auto& [name, date] : {std::pair{"from", from}, std::pair{"to", to}})
    if (!date.empty() && !IsDate(date))
      return vision::BadInput(std::string("FindFilter::") + name + " is " + date +
                              "; it must be a date such as 2026-01-31.");
  if (most < 1 || most > 1000000) return vision::BadInput("FindFilter::most must be from 1 to 1000000.");
  return std::nullopt;
}

namespace {
Question QuestionFor(const FindFilter& filter) {
  Question question;
  question.And("head >= ?", {std::int64_t{1}});
  if (!filter.joint.empty()) question.And("id LIKE ? ESCAPE '!'", {Literal(filter.joint)});
  if (!filter.line.empty()) question.And("line = ?", {filter.line});
  if (!filter.disposition.empty()) question.And("disposition = ?", {filter.disposition});
  if (filter.open_findings) question.And("open_findings > ?", {std::int64_t{0}});
  if (!filter.welder.empty()) question.And("id IN (SELECT joint FROM cycle WHERE welder = ?)", {filter.welder});
  if (!filter.from.empty() || !filter.to.empty())
    question.And("id IN (SELECT joint FROM cycle WHERE welded_on >= ? AND welded_on <= ? AND welded_on <> '')",
                 {filter.from, filter.to.empty() ? std::string("9999-12-31") : filter.to});
  if (!filter.sha256.empty()) question.And("id IN (SELECT joint FROM evidence WHERE sha256 = ?)", {filter.sha256});
  question.sql += " ORDER BY id LIMIT ?";
  question.values.emplace_back(filter.most);
  return question;
}
}  // namespace

vision::Result<std::vector<JointLine>> Find(Book& book, const FindFilter& filter) {
  if (auto wrong = filter.Check()) return *wrong;
  const Question question = QuestionFor(filter);
  auto rows = book.database().Run(question.sql, question.values);
  if (!rows.ok()) return rows.error();
  std::vector<JointLine> lines;
  for (const auto& row : rows.value())
    lines.push_back({row.Text(0), row.Int(1), row.Text(2), row.Text(3), row.Text(4), row.Text(5), row.Text(6),
                     row.Text(7), row.Int(8), row.Text(9)});
  return lines;
}

std::vector<CsvRow> ToRows(const std::vector<JointLine>& lines) {
  std::vector<CsvRow> rows{{"joint", "revision", "line", "material", "cycle", "welder", "welded_on", "disposition",
                            "open_findings", "changed_at"}};
  for (const auto& line : lines)
    rows.push_back({line.joint, std::to_string(line.revision), line.line, line.material, line.cycle, line.welder,
                    line.welded_on, line.disposition, std::to_string(line.open_findings), line.changed_at});
  return rows;
}

namespace {
/// @param name Column of the cycles to gather by.
vision::Result<std::vector<Outcomes>> OutcomesBy(Book& book, const std::string& name, const std::string& which) {
  auto rows =
      book.database().Run("SELECT " + name +
                          ", count(*), sum(CASE WHEN exit_code = 0 THEN 1 ELSE 0 END), sum(CASE WHEN exit_code = "
                          "1 THEN 1 ELSE 0 END) FROM cycle WHERE exit_code IS NOT NULL" +
                          which + " GROUP BY " + name + " ORDER BY " + name);
  if (!rows.ok()) return rows.error();
  std::vector<Outcomes> outcomes;
  for (const auto& row : rows.value()) {
    Outcomes one{row.Text(0), static_cast<int>(row.Int(1)), static_cast<int>(row.Int(2)), static_cast<int>(row.Int(3))};
    if (one.Decided() > 0) {
      one.high = vision::study::ShareUpperBound(one.within, one.Decided(), 0.975);
      one.low = 1 - vision::study::ShareUpperBound(one.beyond, one.Decided(), 0.975);
    }
    outcomes.push_back(one);
  }
  return outcomes;
}

std::string ShareText(double share) { return CsvNumber(std::round(1e4 * share) / 1e4); }
}  // namespace

vision::Result<std::vector<Outcomes>> FirstPassByWelder(Book& book) {
  return OutcomesBy(book, "welder", " AND position = 0");
}

vision::Result<std::vector<Outcomes>> OutcomeByInsertClass(Book& book) { return OutcomesBy(book, "insert_class", ""); }

vision::Result<std::vector<ClockHour>> UnfusedByClock(Book& book) {
  auto rows = book.database().Run("SELECT start_deg, end_deg FROM finding WHERE kind = ?",
                                  {std::string("original edge visible")});
  if (!rows.ok()) return rows.error();
  std::vector<ClockHour> hours(12);
  for (std::size_t i = 0; i < hours.size(); ++i) {
    const double middle = 30.0 * static_cast<double>(i);
    if (i > 0) hours[i].hour = static_cast<int>(i);
    for (const auto& row : rows.value()) {
      const double shared = Shared(row.Real(0), row.Real(1), middle - 15, middle + 15);
      hours[i].runs += shared > 0;
      hours[i].degrees += shared;
    }
  }
  return hours;
}

std::vector<CsvRow> ToRows(const std::vector<Outcomes>& outcomes, const std::string& name) {
  std::vector<CsvRow> rows{
      {name, "judged", "decided", "within", "beyond", "not_decided", "share_of_decided", "low_95", "high_95"}};
  for (const auto& one : outcomes)
    rows.push_back({one.name, std::to_string(one.judged), std::to_string(one.Decided()), std::to_string(one.within),
                    std::to_string(one.beyond), std::to_string(one.NotDecided()), ShareText(one.Share()),
                    ShareText(one.low), ShareText(one.high)});
  return rows;
}

std::vector<CsvRow> ToRows(const std::vector<ClockHour>& hours) {
  std::vector<CsvRow> rows{{"clock", "runs", "degrees"}};
  for (const auto& hour : hours)
    rows.push_back(
        {std::to_string(hour.hour), std::to_string(hour.runs), CsvNumber(std::round(10 * hour.degrees) / 10)});
  return rows;
}

}  // namespace app::book
