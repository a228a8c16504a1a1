#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "app/repair/repair_file.h"

/// Everything that is said before the grinder touches the pipe, from joint file and repair file.
namespace app::repair {

struct RepairPlan {
  std::string joint_id, cycle, indication, piece_a, piece_b;
  double bore_radius_mm = 0;
  std::vector<Place> places;      ///< One, or two candidates of an elliptic exposure.
  bool confirmed_inside = false;  ///< `place` was given: seen from inside.
  double z_mm = 0;
  bool z_known = false;
  words::Text understood;  ///< What was understood of the film, in words.
  std::optional<Belt> belt;
  std::optional<OutsideMark> mark;  ///< For the first place, where there is a belt.
  Wall wall;
  Floor floor;
  Check remaining;             ///< The first question.
  std::optional<Check> depth;  ///< The second one; nullopt: the set has no limit for grind marks here.
  words::Text depth_why_none;
  Pocket pocket;
  Equipment equipment;
  BlendPlan blend;
  /// no-go when either check says so; go only when both do, the equipment fits and the place is confirmed inside.
  Answer answer = Answer::kTakeReading;
  std::vector<words::Text> reasons;  ///< Why the answer is not "go".
};

/// @return kBadInput naming the file and field that cannot be.
vision::Result<RepairPlan> MakePlan(const joint::Joint& joint, const RepairFile& repair);

/// The second question: its answer, or why there is none.
words::Text DepthText(const RepairPlan& plan);

/// JSON text (`rootscroll.repair_plan/1`).
std::string ToJson(const RepairPlan& plan);

/// The plan in words for the terminal, cautions included.
std::string ToText(const RepairPlan& plan);

}  // namespace app::repair
