#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/bore/sides.h"
#include "vision/reading/look.h"
#include "vision/reading/stated.h"

/// What looks and surface tell of a joint's root: the evidence. `State` alone turns it into the reading's numbers.
namespace vision::reading {

/// A height (or depth) of the root, mm: over (under) the chord of its toes, and over (under) each side's own wall.
struct RootHeight {
  double chord_mm = kNotMeasured, left_mm = kNotMeasured, right_mm = kNotMeasured;
};

/// One station line. z in the joint's frame: 0 at the weld's middle.
struct ToldLine {
  bore::Pieces<Stated<double>> toe_z_mm{Stated<double>::Not({}), Stated<double>::Not({})};
  Stated<double> width_mm = Stated<double>::Not({});
  Stated<double> misalignment_mm = Stated<double>::Not({});  ///< b wall's h minus the a wall's.
  Stated<RootHeight> crown = Stated<RootHeight>::Not({}), concavity = Stated<RootHeight>::Not({});
};

struct Told {
  std::vector<ToldLine> lines;            ///< One a station line.
  double push_from_joint_mm = 0;          ///< z_push = z_joint + this, where all looks are of one push.
  bool step_by_travel = false;            ///< Misalignment comes from a push's parallax.
  std::optional<std::string> heights_by;  ///< light_section | travel
};

/// One edge of the insert by station line.
struct EdgeTold {
  std::vector<Fusion> state;
  std::vector<double> unfused;  ///< Chance that it kept its shape; NaN where not in sight.
  std::vector<Reason> why;      ///< Where the state is not visible.
};

using EdgesTold = bore::Pieces<EdgeTold>;

/// A toe's places over the station lines, NaN where none is told.
std::vector<double> ZOf(const Told& told, bore::Piece piece);

/// How far the joint's z lies from a look's own: z_joint = z_look + this. Mean over the toes that both tell: what
/// the walls' heights do to either toe of a look cancels.
double JointFromLook(const Look& look, const Told& told);

}  // namespace vision::reading
