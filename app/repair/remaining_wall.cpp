#include "app/repair/remaining_wall.h"

#include <spdlog/fmt/fmt.h>

#include <algorithm>
#include <cmath>

#include "app/words/print.h"
#include "vision/base/says.h"

namespace app::repair {
namespace {

using words::Joined, words::Number, words::Print, words::Text, words::Typed;

bool IsLength(double mm) { return std::isfinite(mm) && mm > 0; }

Answer Decide(double margin_mm, double expanded_mm) {
  if (margin_mm - expanded_mm >= 0) return Answer::kGo;
  return margin_mm + expanded_mm < 0 ? Answer::kNoGo : Answer::kTakeReading;
}

}  // namespace

std::string NameOf(Answer answer) {
  switch (answer) {
    case Answer::kGo:
      return "go";
    case Answer::kNoGo:
      return "no-go";
    case Answer::kTakeReading:
      break;
  }
  return "take a UT reading";
}

vision::Result<Wall> WallFromReadings(const std::vector<Measured>& readings) {
  if (readings.empty()) return vision::BadInput("wall.readings: at least one ultrasonic reading must be given.");
  for (const Measured& reading : readings)
    if (!IsLength(reading.value_mm) || !(reading.u_mm > 0))
      return vision::BadInput(
          "wall.readings: each needs a thickness above 0 mm and a standard uncertainty above 0 mm.");
  const auto lowest = std::min_element(readings.begin(), readings.end(),
                                       [](const Measured& a, const Measured& b) { return a.value_mm < b.value_mm; });
  return Wall{*lowest, WallBy::kUltrasonic,
              readings.size() == 1 ? Text(Print::kLowestOfOne) : Text(Print::kLowestOf, {Typed(readings.size())})};
}

vision::Result<Wall> WallFromNominal(double nominal_mm, double mill_tolerance) {
  if (!IsLength(nominal_mm)) return vision::BadInput("wall.nominal_mm must be a number above 0.");
  if (!(mill_tolerance >= 0 && mill_tolerance <= 0.5))
    return vision::BadInput("wall.mill_tolerance must be a fraction from 0 to 0.5 (0.125 is 12.5 %).");
  return Wall{{nominal_mm * (1 - mill_tolerance), 0},
              WallBy::kNominalAssumption,
              {Print::kAssumedWall, {Number(nominal_mm, 2), Number(100 * mill_tolerance, 1)}}};
}

vision::Result<Floor> FloorOf(std::optional<double> design_mm, std::optional<double> drawing_mm) {
  if (!design_mm && !drawing_mm)
    return vision::BadInput(
        "floor: give design data, or minimum_wall_mm from the drawing: without a floor nothing can "
        "be said about the wall.");
  if ((design_mm && !IsLength(*design_mm)) || (drawing_mm && !IsLength(*drawing_mm)))
    return vision::BadInput("floor: a minimum wall must be a number above 0 mm.");
  const bool by_design = design_mm && (!drawing_mm || *design_mm >= *drawing_mm);
  const Print rule = by_design ? Print::kPressureDesign : Print::kDrawing;
  if (!design_mm || !drawing_mm) return Floor{by_design ? *design_mm : *drawing_mm, rule};
  const Text other{by_design ? Print::kDrawingAsks : Print::kDesignAsks,
                   {Number(by_design ? *drawing_mm : *design_mm, 3)}};
  return Floor{by_design ? *design_mm : *drawing_mm, {Print::kAside, {rule, other}}};
}

vision::Result<Check> CheckRemainingWall(const Wall& wall, const Measured& depth, const Floor& floor) {
  if (!IsLength(depth.value_mm) || !(depth.u_mm >= 0))
    return vision::BadInput("depth: value_mm must be above 0 and u_mm at least 0.");
  if (depth.value_mm >= wall.thickness.value_mm)
    return vision::BadInput(fmt::format(
        "depth: {:.2f} mm is not less than the wall of {:.2f} mm ({}): it would grind through. Check both numbers.",
        depth.value_mm, wall.thickness.value_mm, EnglishOf(wall.said)));
  Check check;
  check.value_mm = wall.thickness.value_mm - depth.value_mm;
  check.expanded_mm = kCoverage * std::hypot(wall.thickness.u_mm, depth.u_mm);
  check.margin_mm = check.value_mm - floor.value_mm;
  check.guarded_mm = check.margin_mm - check.expanded_mm;
  check.answer = Decide(check.margin_mm, check.expanded_mm);
  const bool assumed = wall.by == WallBy::kNominalAssumption;
  if (assumed && check.answer == Answer::kGo) check.answer = Answer::kTakeReading;
  check.said = {Print::kRemainingSaid,
                {Number(check.value_mm, 3), Number(check.expanded_mm, 3), Number(floor.value_mm, 3), floor.said,
                 Number(check.margin_mm, 3), Number(check.guarded_mm, 3), words::Term(NameOf(check.answer))}};
  if (assumed) check.said = Joined(vision::Says::kBesides, {check.said, Print::kAssumedNoGo});
  return check;
}

Check CheckDepth(const Measured& depth, double limit_mm, const std::string& paragraph) {
  Check check;
  check.value_mm = depth.value_mm;
  check.expanded_mm = kCoverage * depth.u_mm;
  check.margin_mm = limit_mm - depth.value_mm;
  check.guarded_mm = check.margin_mm - check.expanded_mm;
  check.answer = Decide(check.margin_mm, check.expanded_mm);
  const Print outcome = check.answer == Answer::kGo     ? Print::kDepthWithin
                        : check.answer == Answer::kNoGo ? Print::kDepthBeyond
                                                        : Print::kDepthUndecided;
  check.said = {outcome,
                {Number(check.value_mm, 3), Number(check.expanded_mm, 3), Number(limit_mm, 3), Typed(paragraph)}};
  return check;
}

words::Text RuleOfRecord() { return Print::kRuleOfRecord; }

}  // namespace app::repair
