#include "app/repair/repair_plan.h"

#include <spdlog/fmt/fmt.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "app/joint/cautions.h"
#include "app/joint/criteria.h"
#include "app/joint/json_check.h"
#include "app/joint/limit_inputs.h"
#include "app/words/print.h"
#include "vision/bore/angle.h"

namespace app::repair {
namespace {

using words::Number, words::Print, words::Text, words::Typed;

vision::Error InFile(const RepairFile& repair, const vision::Error& error) {
  return {error.code, repair.file.string() + ": " + error.message};
}

vision::Status FindPlace(const RepairFile& repair, RepairPlan& plan) {
  if (repair.film) {
    auto located = Locate(repair.film->belt, repair.film->indication, plan.bore_radius_mm);
    if (!located.ok()) return InFile(repair, located.error());
    plan.places = located.value().candidates;
    plan.understood = located.value().said;
    plan.belt = repair.film->belt;
    plan.z_known = repair.film->z_mm.has_value();
    plan.z_mm = repair.film->z_mm.value_or(0);
  }
  if (repair.place) {
    Place place;
    place.theta_deg = repair.place->theta_deg;
    place.inside_arc_mm = vision::bore::ArcMm(place.theta_deg, plan.bore_radius_mm);
    const bool far = std::none_of(plan.places.begin(), plan.places.end(), [&](const Place& film) {
      return std::abs(vision::bore::Wrap180(film.theta_deg - place.theta_deg)) <= film.band_half_deg;
    });
    if (!plan.places.empty() && far) plan.reasons.push_back({Print::kOutsideBand, {Number(place.theta_deg, 1)}});
    plan.places = {place};
    plan.confirmed_inside = true;
    plan.z_known = true;
    plan.z_mm = repair.place->z_mm;
  }
  if (plan.belt)
    plan.mark = MarkOutside(*plan.belt, plan.places.front().theta_deg, plan.z_mm, plan.piece_a, plan.piece_b);
  return std::nullopt;
}

vision::Result<std::optional<double>> DesignFloor(const RepairFile& repair) {
  if (!repair.design) return std::optional<double>();
  auto wall = repair.code == DesignCode::kB311 ? MinimumWallB311(*repair.design) : MinimumWallB313(*repair.design);
  if (!wall.ok()) return wall.error();
  return std::optional(wall.value().required);
}

vision::Status CheckWall(const RepairFile& repair, RepairPlan& plan) {
  auto design = DesignFloor(repair);
  if (!design.ok()) return InFile(repair, design.error());
  auto floor = FloorOf(design.value(), repair.drawing_floor_mm);
  if (!floor.ok()) return InFile(repair, floor.error());
  auto wall = repair.readings.empty() ? WallFromNominal(*repair.nominal_mm, repair.mill_tolerance)
                                      : WallFromReadings(repair.readings);
  if (!wall.ok()) return InFile(repair, wall.error());
  auto remaining = CheckRemainingWall(wall.value(), repair.depth, floor.value());
  if (!remaining.ok()) return InFile(repair, remaining.error());
  plan.floor = floor.value();
  plan.wall = wall.value();
  plan.remaining = remaining.value();
  return std::nullopt;
}

bool IsGrindDepth(const joint::Rule& rule) {
  return rule.size == joint::SizeOf::kDepth &&
         std::find(rule.kinds.begin(), rule.kinds.end(), "grind_mark") != rule.kinds.end();
}

void CheckAgainstCriterion(const joint::CriteriaSet& set, const joint::Joint& joint, RepairPlan& plan) {
  const auto rule = std::find_if(set.rules.begin(), set.rules.end(), IsGrindDepth);
  plan.depth_why_none = {Print::kNoGrindLimit, {Typed(set.name)}};
  if (rule == set.rules.end()) return;
  const joint::LimitInputs inputs = joint::LimitInputsOf(joint);
  const auto row = joint::ChooseRow(*rule, inputs);
  vision::Reason missing;
  const auto limit =
      row.row ? joint::Evaluate(*row.row, inputs, std::numeric_limits<double>::quiet_NaN(), &missing) : std::nullopt;
  if (!limit) {
    plan.depth_why_none = {Print::kGrindLimitMissing,
                           {Typed(set.name), Typed(rule->paragraph), row.row ? missing : row.why_none}};
    return;
  }
  plan.depth = CheckDepth(plan.pocket.depth, limit->low_mm, set.name + " " + rule->paragraph);
  plan.depth_why_none = {};
}

void Conclude(RepairPlan& plan) {
  const bool refused = plan.remaining.answer == Answer::kNoGo || (plan.depth && plan.depth->answer == Answer::kNoGo);
  if (plan.remaining.answer != Answer::kGo) plan.reasons.push_back(plan.remaining.said);
  if (!plan.depth) plan.reasons.push_back(plan.depth_why_none);
  if (plan.depth && plan.depth->answer != Answer::kGo) plan.reasons.push_back(plan.depth->said);
  for (const auto& why : plan.blend.why_not) plan.reasons.push_back(why);
  if (plan.equipment.invented_sample) plan.reasons.push_back(Print::kInventedEquipment);
  if (plan.places.size() > 1) plan.reasons.push_back(Print::kTwoPlaces);
  if (!plan.confirmed_inside) plan.reasons.push_back(Print::kFilmOnly);
  if (!plan.z_known) plan.reasons.push_back(Print::kDistanceUnknown);
  plan.answer = refused ? Answer::kNoGo : plan.reasons.empty() ? Answer::kGo : Answer::kTakeReading;
}

std::vector<std::string> InEnglish(const std::vector<Text>& texts) {
  std::vector<std::string> lines;
  for (const Text& text : texts) lines.push_back(EnglishOf(text));
  return lines;
}

}  // namespace

words::Text DepthText(const RepairPlan& plan) {
  return plan.depth ? plan.depth->said : Text(Print::kNotJudgedSince, {plan.depth_why_none});
}

vision::Result<RepairPlan> MakePlan(const joint::Joint& joint, const RepairFile& repair) {
  if (repair.joint_id != joint.id)
    return vision::BadInput(repair.file.string() + ": joint_id is \"" + repair.joint_id +
                            "\"; the joint file is of \"" + joint.id + "\".");
  RepairPlan plan;
  plan.joint_id = joint.id;
  plan.cycle = repair.cycle;
  plan.indication = repair.indication;
  plan.piece_a = joint.a.name;
  plan.piece_b = joint.b.name;
  plan.bore_radius_mm = joint.pipe.inside_diameter.value_mm / 2;
  if (auto fault = FindPlace(repair, plan)) return *fault;
  if (auto fault = CheckWall(repair, plan)) return *fault;
  auto set = joint::LoadCriteria(repair.criterion.value_or(joint.criterion), joint.file.parent_path());
  if (!set.ok()) return set.error();
  plan.pocket = repair.pocket;
  plan.pocket.theta_deg = plan.places.front().theta_deg;
  plan.pocket.z_mm = plan.z_mm;
  CheckAgainstCriterion(set.value(), joint, plan);
  Surroundings around = repair.around;
  around.bore_radius_mm = plan.bore_radius_mm;
  plan.equipment = repair.equipment;
  auto blend = PlanBlend(plan.pocket, around, plan.equipment);
  if (!blend.ok()) return InFile(repair, blend.error());
  plan.blend = std::move(blend).value();
  Conclude(plan);
  return plan;
}

std::string ToText(const RepairPlan& plan) {
  std::string text =
      fmt::format("Joint {}{}: {}\n", plan.joint_id, plan.cycle.empty() ? "" : ", " + plan.cycle, plan.indication);
  for (const Place& place : plan.places)
    text +=
        fmt::format("  place: {:.1f} degrees clockwise from the datum looking along +z, {:.1f} mm of arc inside{}\n",
                    place.theta_deg, place.inside_arc_mm,
                    plan.confirmed_inside ? " (seen inside)"
                                          : fmt::format("; search {:.1f} mm each side", place.band_half_inside_mm));
  if (!plan.understood.empty()) text += "  film: " + EnglishOf(plan.understood) + "\n";
  if (plan.mark)
    text += fmt::format(
        "  mark outside: number {} and {:.1f} mm beyond it, {:.1f} mm from the weld's centreline towards "
        "{}\n",
        plan.mark->number, plan.mark->beyond_mm, plan.mark->from_weld_mm, plan.mark->towards);
  text += "1. Wall: " + EnglishOf(plan.remaining.said) + " Wall: " + EnglishOf(plan.wall.said) + ".\n";
  text += "2. Criterion: " + EnglishOf(DepthText(plan)) + "\n";
  text += fmt::format(
      "Blend: {:.2f} mm deep, {:g}:1 ({:.1f} degrees), footprint {:.1f} mm along the pipe, {:.1f} mm around ({:.1f} "
      "degrees), {} placement{}, {:.0f} mm3 to remove below the bore's surface\n",
      plan.pocket.depth.value_mm, plan.pocket.taper, plan.blend.slope_deg, plan.blend.footprint_axial_mm,
      plan.blend.footprint_around_mm, plan.blend.sweep_deg, plan.blend.placements.size(),
      plan.blend.placements.size() == 1 ? "" : "s", plan.blend.volume_mm3);
  text += "Answer: " + NameOf(plan.answer) + (plan.answer == Answer::kGo ? " (the plan fits; not released)\n" : "\n");
  for (const auto& reason : plan.reasons) text += "  because: " + EnglishOf(reason) + "\n";
  return text + "  " + EnglishOf(RuleOfRecord()) + "\n";
}

std::string ToJson(const RepairPlan& plan) {
  using joint::Json;
  const auto check = [](const Check& c) {
    return Json{{"answer", NameOf(c.answer)}, {"value_mm", c.value_mm},     {"expanded_mm", c.expanded_mm},
                {"margin_mm", c.margin_mm},   {"guarded_mm", c.guarded_mm}, {"said", EnglishOf(c.said)}};
  };
  Json json{{"format", "rootscroll.repair_plan/1"},
            {"joint_id", plan.joint_id},
            {"cycle", plan.cycle},
            {"indication", plan.indication},
            {"answer", NameOf(plan.answer)},
            {"reasons", InEnglish(plan.reasons)},
            {"confirmed_inside", plan.confirmed_inside}};
  for (const Place& place : plan.places)
    json["places"].push_back({{"theta_deg", place.theta_deg},
                              {"inside_arc_mm", place.inside_arc_mm},
                              {"band_half_deg", place.band_half_deg},
                              {"band_half_inside_mm", place.band_half_inside_mm}});
  json["z_mm"] = plan.z_known ? Json(plan.z_mm) : Json();
  json["remaining_wall"] = check(plan.remaining);
  json["depth_limit"] = plan.depth ? check(*plan.depth) : Json{{"why", EnglishOf(plan.depth_why_none)}};
  json["blend"] = {{"depth_mm", plan.pocket.depth.value_mm},
                   {"taper", plan.pocket.taper},
                   {"slope_deg", plan.blend.slope_deg},
                   {"footprint_axial_mm", plan.blend.footprint_axial_mm},
                   {"footprint_around_mm", plan.blend.footprint_around_mm},
                   {"sweep_deg", plan.blend.sweep_deg},
                   {"volume_mm3", plan.blend.volume_mm3},
                   {"area_mm2", plan.blend.area_mm2},
                   {"equipment", plan.equipment.name},
                   {"equipment_fits", plan.blend.equipment_fits},
                   {"hold_points", InEnglish(plan.blend.hold_points)}};
  for (const Placement& placement : plan.blend.placements)
    json["blend"]["placements"].push_back({{"start_deg", placement.start_deg}, {"sweep_deg", placement.sweep_deg}});
  json["released"] = false;  // a plan never is: people authorise
  json["cautions"] = joint::GrindingCautions();
  json["cautions"].push_back(joint::kSupports);
  return json.dump(2) + "\n";
}

}  // namespace app::repair
