#include "app/report/card.h"

#include "app/report/cautions.h"
#include "app/report/compose.h"
#include "app/report/place_figure.h"
#include "app/report/write_content.h"

namespace app::report {
namespace {

using Weight = Paragraph::Weight;

Text Millimetres(double mm, int decimals = 1) { return LengthFormat{}.Plain(mm, decimals); }

Text AnswerText(const repair::RepairPlan& plan) {
  switch (plan.answer) {
    case repair::Answer::kGo:
      return Print::kPlanFits;
    case repair::Answer::kNoGo:
      return Print::kDoNotGrind;
    case repair::Answer::kTakeReading:
      break;
  }
  return Print::kNotYet;
}

/// Where, how deep, how wide: what the operator reads from arm's length.
std::vector<Text> LargePrint(const repair::RepairPlan& plan) {
  std::vector<Text> words{AnswerText(plan)};
  if (plan.mark)
    words.push_back({Print::kMarkNumber, {Typed(plan.mark->number), Millimetres(plan.mark->beyond_mm, 0)}});
  if (plan.z_known && plan.mark)
    words.push_back({Print::kFromTheWeld, {Millimetres(plan.mark->from_weld_mm), Typed(plan.mark->towards)}});
  if (plan.answer == repair::Answer::kNoGo) return words;
  words.push_back({Print::kStopAt, {Millimetres(plan.pocket.depth.value_mm, 2)}});
  words.push_back(
      {Print::kAlongAround, {Millimetres(plan.blend.footprint_axial_mm), Millimetres(plan.blend.footprint_around_mm)}});
  return words;
}

/// As few digits as tell it: "4", "2.5".
Text Plainly(double value) { return Typed(QString::number(value).toStdString()); }

Table Facts(const repair::RepairPlan& plan) {
  Table table;
  table.titled = false;
  table.columns = {{{}, 0.3}, {{}, 0.7}};
  const auto add = [&table](Print what, const Text& value) { table.rows.push_back({{what}, {value, {}, true}}); };
  const auto view = plan.belt ? plan.belt->view : repair::View::kAlongPlusZ;
  add(Print::kWhere, {plan.places.size() > 1 ? Print::kClockwiseOrOpposite : Print::kClockwiseFromDatum,
                      {Number(repair::ClockDegInView(plan.places.front().theta_deg, view), 1)}});
  add(Print::kDepth, {Print::kDepthMeans, {Millimetres(plan.pocket.depth.value_mm / 2, 2)}});
  add(Print::kSlope, {Print::kSlopeMeans, {Plainly(plan.pocket.taper), Number(plan.blend.slope_deg, 1)}});
  add(Print::kPlacements,
      {Print::kPlacementsMean,
       {Typed(plan.blend.placements.size()), Plainly(plan.equipment.largest_sweep_deg), Typed(plan.equipment.name)}});
  add(Print::kFloorOfWall, Joined(Print::kThen, {Millimetres(plan.floor.value_mm, 2), plan.floor.said}));
  return table;
}

void AddChecks(const repair::RepairPlan& plan, Content& content) {
  content.blocks.push_back(Paragraph{{Print::kWallCheck, {plan.remaining.said}}});
  content.blocks.push_back(Paragraph{{Print::kCriterionCheck, {repair::DepthText(plan)}}});
}

void AddOpenPoints(const repair::RepairPlan& plan, Content& content) {
  std::vector<Paragraph> open;
  for (const Text& reason : plan.reasons)
    if (!(reason == plan.remaining.said) && !(plan.depth && reason == plan.depth->said))
      open.push_back({{Print::kListed, {reason}}, Weight::kFine});
  if (open.empty()) return;
  content.blocks.push_back(Paragraph{Print::kOpenPoints, Weight::kStrongLine});
  for (const Paragraph& point : open) content.blocks.emplace_back(point);
}

void AddCautions(const repair::RepairPlan& plan, Content& content) {
  content.blocks.push_back(Paragraph{Print::kStopAndSign, Weight::kStrongLine});
  for (std::size_t i = 0; i < plan.blend.hold_points.size(); ++i)
    content.blocks.push_back(Paragraph{{Print::kToTick, {Typed(i + 1), plan.blend.hold_points[i]}}, Weight::kSmall});
  content.blocks.push_back(Paragraph{Print::kDangers, Weight::kStrongLine});
  for (const Print caution : joint::GrindingCautionPrints())
    content.blocks.push_back(Paragraph{{Print::kListed, {caution}}, Weight::kFine});
  content.blocks.push_back(
      Paragraph{Joined(Says::kBesides, {repair::RuleOfRecord(), Print::kSupports}), Weight::kFine});
}

}  // namespace

vision::Result<ReportFiles> WriteCard(const repair::RepairPlan& plan, const std::filesystem::path& out_dir, Paper paper,
                                      const HousePaper& house) {
  Content content;
  content.title = Print::kCardTitle;
  content.joint = JointText(plan.joint_id + (plan.cycle.empty() ? "" : " " + plan.cycle));
  content.running_text = Print::kSupports;
  content.blocks.push_back(Paragraph{Typed(plan.indication)});
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
