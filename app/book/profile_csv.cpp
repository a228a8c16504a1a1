#include "app/book/profile_csv.h"

#include "app/notes/span.h"

namespace app::book {

namespace {
std::string Maybe(const std::optional<double>& value) { return value ? CsvNumber(*value) : std::string(); }

void AddSection(const vision::reading::SectionArc* arc, CsvRow& row) {
  row.push_back(arc ? arc->kind : "");
  row.push_back(arc ? CsvNumber(arc->chance) : "");
  row.push_back(arc ? CsvNumber(arc->against_mm) : "");
}
}  // namespace

std::vector<CsvRow> ProfileRows(const known::Known& known) {
  const auto& p = known.measured.profile;
  const auto& d = known.decided.profile;
  const std::vector<std::pair<const char*, const std::vector<double>*>> columns{
      {"theta_deg", &p.theta_deg},
      {"left_toe_z_mm", &p.left_toe_z_mm},
      {"left_toe_u_mm", &p.left_toe_u_mm},
      {"right_toe_z_mm", &p.right_toe_z_mm},
      {"right_toe_u_mm", &p.right_toe_u_mm},
      {"width_mm", &p.width_mm},
      {"width_u_mm", &p.width_u_mm},
      {"crown_height_mm", &p.crown_height_mm},
      {"crown_height_u_mm", &p.crown_height_u_mm},
      {"concavity_mm", &p.concavity_mm},
      {"concavity_u_mm", &p.concavity_u_mm},
      {"misalignment_mm", &p.misalignment_mm},
      {"misalignment_u_mm", &p.misalignment_u_mm},
      {"left_toe_decided_z_mm", &d.left_toe_z_mm},
      {"right_toe_decided_z_mm", &d.right_toe_z_mm},
      {"width_decided_mm", &d.width_mm},
      {"width_decided_u_mm", &d.width_u_mm}};
  std::vector<CsvRow> rows(1);
  for (const auto& [title, values] : columns) rows[0].emplace_back(title);
  rows[0].insert(rows[0].end(), {"fusion_left", "fusion_right", "edge_left_decided", "edge_right_decided", "section",
                                 "section_chance", "section_against_mm"});
  for (std::size_t line = 0; line < p.theta_deg.size(); ++line) {
    CsvRow row;
    for (const auto& [title, values] : columns) row.push_back(line < values->size() ? CsvNumber((*values)[line]) : "");
    for (const auto* fusion : {&p.fusion_left, &p.fusion_right})
      row.push_back(line < fusion->size() ? vision::reading::NameOf((*fusion)[line]) : "");
    for (const auto* edges : {&known.edges_a, &known.edges_b})
      row.push_back(line < edges->size() ? known::NameOf((*edges)[line]) : "");
    AddSection(SectionAt(known.measured, p.theta_deg[line]), row);
    rows.push_back(std::move(row));
  }
  return rows;
}

namespace {
/// "measured", "overruled", "not measured, seen by a person".
std::string StateOf(bool measured, const std::optional<known::Decision>& decided) {
  if (!measured) return "not measured, seen by a person";
  return decided && decided->what == known::Decision::What::kOverruled ? "measured, overruled" : "measured";
}

std::string SaidOf(const std::optional<known::Decision>& decided) { return decided ? known::Said(*decided) : ""; }

void AddMeasured(const known::Known& known, std::vector<CsvRow>& rows) {
  for (const auto& one : known.runs)
    rows.push_back({"run", "original edge visible", "", StateOf(one.measured, one.decided), one.run.side,
                    CsvNumber(one.run.start_deg), CsvNumber(one.run.end_deg), "", CsvNumber(one.run.arc_mm),
                    CsvNumber(one.run.arc_u_mm), "", "arc length at the bore", SaidOf(one.decided)});
  for (const auto& one : known.found) {
    const auto& seen = one.indication;
    rows.push_back({"indication", seen.kind, seen.iso6520, StateOf(one.measured, one.decided), "",
                    CsvNumber(seen.theta_deg), "", CsvNumber(seen.z_mm), CsvNumber(seen.length_mm),
                    CsvNumber(seen.length_u_mm), "", "length", SaidOf(one.decided)});
  }
}

void AddDecided(const known::Known& known, std::vector<CsvRow>& rows) {
  for (const auto& toe : known.toes)
    rows.push_back(
        {"toe", "toe set by hand", "", "set by hand", toe.set.side, CsvNumber(toe.set.points.front().theta_deg),
         CsvNumber(toe.set.points.back().theta_deg), "", "", CsvNumber(toe.u.u_mm), "",
         toe.u.assumed ? "u assumed until placed five times" : "u from " + std::to_string(toe.u.placings) + " placings",
         known::Said(toe.decided)});
  for (const auto& seen : known.seen) {
    if (seen.note.points.empty()) continue;
    const auto [from, to] = notes::SpanOf(seen.note);
    rows.push_back({"note", seen.kind_name, seen.iso6520,
                    notes::NameOf(seen.note.status) + (seen.judged ? ", judged" : ", not judged"), "", CsvNumber(from),
                    CsvNumber(to), CsvNumber(seen.note.points.front().z_mm), CsvNumber(seen.extent.length_mm),
                    CsvNumber(seen.extent.length_u_mm), "", seen.note.text, known::Said(seen.decided)});
  }
}

/// What is not known, in words.
void AddUnknown(const known::Known& known, std::vector<CsvRow>& rows) {
  const auto add = [&](const std::string& name, const std::string& text) {
    rows.push_back({"fact", name, "", "", "", "", "", "", "", "", "", text, ""});
  };
  add("angles", known.relative() ? "relative to the picture's up; no clock is stated" : "from the joint's datum");
  add("kept", "what people decided is " + known::Said(known.recorded));
}
}  // namespace

std::vector<CsvRow> FindingRows(const known::Known& known, const app::joint::Verdict& verdict) {
  std::vector<CsvRow> rows{{"kind", "name", "iso6520", "outcome", "side", "start_deg", "end_deg", "z_mm", "value_mm",
                            "u_mm", "limit_mm", "text", "decided"}};
  for (const auto& finding : verdict.findings)
    rows.push_back({"rule", finding.title, finding.iso6520, app::joint::NameOf(finding.outcome), "",
                    Maybe(finding.theta_deg), Maybe(finding.end_theta_deg), Maybe(finding.z_mm),
                    Maybe(finding.value_mm), Maybe(finding.u_mm), Maybe(finding.limit_mm), EnglishOf(finding.reason),
                    ""});
  AddMeasured(known, rows);
  AddDecided(known, rows);
  AddUnknown(known, rows);
  return rows;
}

}  // namespace app::book
