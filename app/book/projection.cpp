#include "app/book/projection.h"

#include <algorithm>
#include <cstdio>

namespace app::book {

namespace {

/// A row of a table as it is written and as it is compared.
struct TableRow {
  const char* insert;
  std::vector<Value> values;
};

const char* const kCycle = "INSERT INTO cycle VALUES (?, ?, ?, ?, ?, ?, ?, ?)";
const char* const kFinding = "INSERT INTO finding VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)";

std::vector<TableRow> RowsOf(const Record& record) {
  std::vector<TableRow> rows;
  std::int64_t position = 0, place = 0;
  for (const auto& cycle : record.cycles) {
    Value exit_code;
    if (!cycle.verdicts.empty()) exit_code = static_cast<std::int64_t>(cycle.verdicts.back().exit_code);
    rows.push_back({kCycle,
                    {record.joint, position++, cycle.id, cycle.welder, cycle.welded_on, record.insert_class,
                     cycle.Disposition(), exit_code}});
    for (const auto& finding : cycle.findings)
      rows.push_back({kFinding,
                      {record.joint, place++, cycle.id, finding.kind, finding.iso6520, finding.side, finding.start_deg,
                       finding.end_deg, finding.state}});
  }
  return rows;
}

std::vector<Value> JointValues(const Revision& revision, const Record& record) {
  const Cycle last = record.cycles.empty() ? Cycle{} : record.cycles.back();
  std::int64_t open = 0;
  for (const auto& cycle : record.cycles)
    open += std::count_if(cycle.findings.begin(), cycle.findings.end(),
                          [](const FindingEntry& finding) { return finding.state == "open"; });
  return {revision.number, revision.hash,      record.line, record.material,  record.insert_class, last.id, last.welder,
          last.welded_on,  last.Disposition(), open,        revision.made_at, record.joint};
}

std::string Shown(const Value& value) {
  if (const auto* text = std::get_if<std::string>(&value)) return *text;
  if (const auto* number = std::get_if<std::int64_t>(&value)) return std::to_string(*number);
  if (const auto* real = std::get_if<double>(&value)) {
    char text[40];
    std::snprintf(text, sizeof text, "%.17g", *real);
    return text;
  }
  return "";
}

std::string Line(const std::vector<Value>& values) {
  std::string line;
  for (const auto& value : values) line += Shown(value) + "\x1f";
  return line + "\n";
}

vision::Status AddRecordings(Database& database, const Record& record) {
  for (const auto& cycle : record.cycles)
    for (const auto& recording : cycle.recordings)
      if (auto failed =
              database.Do("INSERT INTO recording VALUES (?, ?, ?, 'pending', '', 0, 0, '', '') ON CONFLICT DO NOTHING",
                          {record.joint, cycle.id, recording.id}))
        return failed;
  return std::nullopt;
}
}  // namespace

vision::Status NoteFiles(Database& database, const Record& record) {
  for (const auto* file : record.Files())
    if (auto failed = database.Do("INSERT INTO evidence VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
                                  {file->sha256, record.joint, file->name}))
      return failed;
  return std::nullopt;
}

std::map<std::pair<std::string, std::string>, std::string> MeasuredIn(const Record& record) {
  std::map<std::pair<std::string, std::string>, std::string> measured;
  for (const auto& cycle : record.cycles)
    for (const auto& reading : cycle.readings)
      for (const auto& id : reading.recordings) measured[{cycle.id, id}] = reading.reading.sha256;
  return measured;
}

vision::Status SettleQueue(Database& database, const Record& record) {
  const auto measured = MeasuredIn(record);
  auto rows = database.Run("SELECT cycle, id, state, reading FROM recording WHERE joint = ?", {record.joint});
  if (!rows.ok()) return rows.error();
  for (const auto& row : rows.value()) {
    const auto at = measured.find({row.Text(0), row.Text(1)});
    const bool there = at != measured.end(), said = row.Text(2) == "measured";
    if (there == said && (!there || row.Text(3) == at->second)) continue;
    if (auto failed = database.Do("UPDATE recording SET state = ?, worker = '', lease_until = 0, attempts = 0, trouble "
                                  "= '', reading = ? WHERE joint = ? AND cycle = ? AND id = ?",
                                  {std::string(there ? "measured" : "pending"), there ? at->second : std::string(),
                                   record.joint, row.Text(0), row.Text(1)}))
      return failed;
  }
  return std::nullopt;
}

vision::Status Project(Database& database, const Revision& revision, const Record& record) {
  if (auto failed = database.Do(
          "UPDATE joint SET head = ?, head_hash = ?, line = ?, material = ?, insert_class = ?, cycle = ?, welder = ?, "
          "welded_on = ?, disposition = ?, open_findings = ?, changed_at = ? WHERE id = ?",
          JointValues(revision, record)))
    return failed;
  for (const char* table : {"DELETE FROM cycle WHERE joint = ?", "DELETE FROM finding WHERE joint = ?"})
    if (auto failed = database.Do(table, {record.joint})) return failed;
  for (const auto& row : RowsOf(record))
    if (auto failed = database.Do(row.insert, row.values)) return failed;
  return AddRecordings(database, record);
}

std::string ExpectedText(const Revision& revision, const Record& record) {
  std::string text = Line(JointValues(revision, record));
  for (const char* table : {kCycle, kFinding})
    for (const auto& row : RowsOf(record))
      if (row.insert == table) text += Line(row.values);
  return text;
}

vision::Result<std::string> ProjectedText(Database& database, const std::string& joint) {
  std::string text;
  struct Question {
    const char* sql;
    std::vector<char> kinds;  // t text, i number, r real
  };
  const std::vector<Question> questions{
      {"SELECT head, head_hash, line, material, insert_class, cycle, welder, welded_on, disposition, open_findings, "
       "changed_at, id FROM joint WHERE id = ?",
       {'t', 't', 't', 't', 't', 't', 't', 't', 't', 't', 't', 't'}},
      {"SELECT joint, position, id, welder, welded_on, insert_class, disposition, exit_code FROM cycle WHERE joint = ? "
       "ORDER BY position",
       {'t', 't', 't', 't', 't', 't', 't', 't'}},
      {"SELECT joint, place, cycle, kind, iso6520, side, start_deg, end_deg, state FROM finding WHERE joint = ? ORDER "
       "BY place",
       {'t', 't', 't', 't', 't', 't', 'r', 'r', 't'}}};
  for (const auto& question : questions) {
    auto rows = database.Run(question.sql, {joint});
    if (!rows.ok()) return rows.error();
    for (const auto& row : rows.value()) {
      std::vector<Value> values;
      for (std::size_t i = 0; i < question.kinds.size(); ++i)
        values.push_back(question.kinds[i] == 'r' ? Value{row.Real(i)} : Value{row.Text(i)});
      text += Line(values);
    }
  }
  return text;
}

}  // namespace app::book
