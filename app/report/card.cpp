#include "app/report/card.h"

#include "app/report/cautions.h"
#include "app/report/compose.h"
#include "app/report/place_figure.h"
#include "app/report/write_content.h"

namespace app::report {
namespace {

using Weight = Paragraph::Weight;

QString Millimetres(double mm, int decimals = 1) { return QString::number(mm, 'f', decimals) + " mm"; }

QString AnswerText(const repair::RepairPlan& plan) {
  switch (plan.answer) {
    case repair::Answer::kGo:
      return "Plan fits, not released";
    case repair::Answer::kNoGo:
      return "NO-GO: do not grind";
    case repair::Answer::kTakeReading:
      break;
  }
  return "NOT YET. See open points.";
}

/// Where, how deep, how wide: what the operator reads from arm's length.
std::vector<QString> LargePrint(const repair::RepairPlan& plan) {
  std::vector<QString> words{AnswerText(plan)};
  if (plan.mark)
    words.push_back(QString("Number %1 + %2").arg(plan.mark->number).arg(Millimetres(plan.mark->beyond_mm, 0)));
  if (plan.z_known && plan.mark)
    words.push_back(Millimetres(plan.mark->from_weld_mm) + " from the weld, towards " + Q(plan.mark->towards));
  if (plan.answer == repair::Answer::kNoGo) return words;
  words.push_back("Stop at " + Millimetres(plan.pocket.depth.value_mm, 2) + " deep");
  words.push_back(Millimetres(plan.blend.footprint_axial_mm) + " along, " +
                  Millimetres(plan.blend.footprint_around_mm) + " around");
  return words;
}

std::vector<Cell> Row(const QString& what, const QString& value) { return {{what}, {value, {}, true}}; }

Table Facts(const repair::RepairPlan& plan) {
  Table table;
  table.titled = false;
  table.columns = {{"", 0.3}, {"", 0.7}};
  const auto& place = plan.places.front();
  const auto view = plan.belt ? plan.belt->view : repair::View::kAlongPlusZ;
  table.rows.push_back(Row("Where", QString("%1° clockwise from the datum in the view drawn%2")
                                        .arg(repair::ClockDegInView(place.theta_deg, view), 0, 'f', 1)
                                        .arg(plan.places.size() > 1 ? ", or opposite" : "")));
  table.rows.push_back(Row("Depth", "below the base metal's surface, not below the bead; look half-way, at " +
                                        Millimetres(plan.pocket.depth.value_mm / 2, 2)));
  table.rows.push_back(Row(
      "Slope",
      QString("%1 : 1 (%2°), bottom rounded, no notch").arg(plan.pocket.taper).arg(plan.blend.slope_deg, 0, 'f', 1)));
  table.rows.push_back(Row("Placements", QString("%1, each at most %2° of sweep: %3")
                                             .arg(plan.blend.placements.size())
                                             .arg(plan.equipment.largest_sweep_deg)
                                             .arg(Q(plan.equipment.name))));
  table.rows.push_back(Row("Floor of the wall", Millimetres(plan.floor.value_mm, 2) + ", " + Q(plan.floor.said)));
  return table;
}

void AddChecks(const repair::RepairPlan& plan, Content& content) {
  content.blocks.push_back(Paragraph{"1. Wall: " + Q(plan.remaining.said)});
  content.blocks.push_back(
      Paragraph{"2. Criterion: " + (plan.depth ? Q(plan.depth->said) : "not judged: " + Q(plan.depth_why_none))});
}

void AddOpenPoints(const repair::RepairPlan& plan, Content& content) {
  std::vector<Paragraph> open;
  for (const std::string& reason : plan.reasons)
    if (reason != plan.remaining.said && !(plan.depth && reason == plan.depth->said))
      open.push_back({"▪ " + Q(reason), Weight::kFine});
  if (open.empty()) return;
  content.blocks.push_back(Paragraph{"Open points", Weight::kStrongLine});
  for (const Paragraph& point : open) content.blocks.emplace_back(point);
}

void AddCautions(const repair::RepairPlan& plan, Content& content) {
  content.blocks.push_back(Paragraph{"Stop and sign at each point", Weight::kStrongLine});
  for (std::size_t i = 0; i < plan.blend.hold_points.size(); ++i)
    content.blocks.push_back(Paragraph{QString("□ %1  ").arg(i + 1) + Q(plan.blend.hold_points[i]), Weight::kSmall});
  content.blocks.push_back(Paragraph{"Argon, chromium dust, wheel, hot work", Weight::kStrongLine});
  for (const std::string& caution : joint::GrindingCautions())
    content.blocks.push_back(Paragraph{"▪ " + Q(caution), Weight::kFine});
  content.blocks.push_back(Paragraph{Q(repair::RuleOfRecord()) + " " + kSupports, Weight::kFine});
}

}  // namespace

vision::Result<ReportFiles> WriteCard(const repair::RepairPlan& plan, const std::filesystem::path& out_dir, Paper paper,
                                      const HousePaper& house) {
  Content content;
  content.title = "Card for the grinder";
  content.joint_id = Q(plan.joint_id + (plan.cycle.empty() ? "" : " " + plan.cycle));
  content.running_text = kSupports;
  content.names = {Q(plan.indication), Q(plan.equipment.name), Q(plan.piece_a), Q(plan.piece_b), Q(plan.joint_id)};
  content.blocks.push_back(Paragraph{Q(plan.indication), Weight::kNormal});
  return WriteContent(
      [&](double text_width_mm) {
        content.blocks.push_back(PlaceFigure(plan, LargePrint(plan), text_width_mm));
        content.blocks.push_back(Facts(plan));
        AddChecks(plan, content);
        AddOpenPoints(plan, content);
        AddCautions(plan, content);
        return content;
      },
      paper, out_dir, "card.html", "card.pdf", house);
}

}  // namespace app::report
