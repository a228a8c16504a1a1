#include "app/book/profile_csv.h"

namespace app::book {

namespace {
std::string Maybe(const std::optional<double>& value) { return value ? CsvNumber(*value) : std::string(); }
}  // namespace

std::vector<CsvRow> ProfileRows(const vision::reading::Reading& reading) {
  const auto& p = reading.profile;
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
      {"misalignment_u_mm", &p.misalignment_u_mm}};
  std::vector<CsvRow> rows(1);
  for (const auto& [title, values] : columns) rows[0].emplace_back(title);
  rows[0].insert(rows[0].end(), {"fusion_left", "fusion_right"});
  for (std::size_t line = 0; line < p.theta_deg.size(); ++line) {
    CsvRow row;
    for (const auto& [title, values] : columns) row.push_back(line < values->size() ? CsvNumber((*values)[line]) : "");
    for (const auto* fusion : {&p.fusion_left, &p.fusion_right})
      row.push_back(line < fusion->size() ? vision::reading::NameOf((*fusion)[line]) : "");
    rows.push_back(std::move(row));
  }
  return rows;
}

std::vector<CsvRow> FindingRows(const vision::reading::Reading& reading, const app::joint::Verdict& verdict) {
  std::vector<CsvRow> rows{{"kind", "name", "iso6520", "outcome", "side", "start_deg", "end_deg", "z_mm", "value_mm",
                            "u_mm", "limit_mm", "text"}};
  for (const auto& finding : verdict.findings)
    rows.push_back({"rule", finding.title, finding.iso6520, app::joint::NameOf(finding.outcome), "",
                    Maybe(finding.theta_deg), Maybe(finding.end_theta_deg), Maybe(finding.z_mm),
                    Maybe(finding.value_mm), Maybe(finding.u_mm), Maybe(finding.limit_mm), finding.reason});
  for (const auto& run : reading.unfused)
    rows.push_back({"run", "original edge visible", "", "", run.side, CsvNumber(run.start_deg), CsvNumber(run.end_deg),
                    "", CsvNumber(run.arc_mm), CsvNumber(run.arc_u_mm), "", "arc length at the bore"});
  for (const auto& seen : reading.indications)
    rows.push_back({"indication", seen.kind, seen.iso6520, "", "", CsvNumber(seen.theta_deg), "", CsvNumber(seen.z_mm),
                    CsvNumber(seen.length_mm), CsvNumber(seen.length_u_mm), "", "length"});
  return rows;
}

}  // namespace app::book
