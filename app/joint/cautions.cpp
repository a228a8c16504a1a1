#include "app/joint/cautions.h"

namespace app::joint {
namespace {

/// Limits of oxygen by volume and the order of work: 29 CFR 1910.146 (b) "hazardous atmosphere" (below 19.5 % or above
/// 23.5 %), (d)(5) continuous testing. That argon is heavier than air and gathers low is physics (40 g/mol to 29).
constexpr const char* kConfined =
    "Confined space: nobody enters purged pipe or puts the head into it without the permit, the line isolated and "
    "depressurised, ventilation, and a continuous oxygen test from outside. Below 19.5 % or above 23.5 % oxygen stay "
    "out; a reading between them is not by itself leave to enter. Argon is heavier than air and pools low.";

}  // namespace

std::vector<std::string> StandingCautions() {
  return {
      "Aid to examination. Measurements are indicative unless a valid calibration and a passing gauge study are "
      "attached.",
      "Acceptance is the decision of the certified examiner under the contract and its code edition.",
      "A root not shown, not in focus or not lit is NOT EXAMINED, not acceptable.",
      kConfined,
      "Do not grind by this until the wall is measured (ultrasonic thickness) and the repair is authorised.",
      kSupports,
  };
}

std::vector<std::string> GrindingCautions() {
  return {
      kConfined,
      // 29 CFR 1910.1026, chromium (VI); wheels kept apart: common practice, no source.
      "Dust of stainless steel holds hexavalent chromium: extraction and a respirator that fits. Wheels kept for "
      "stainless steel only.",
      "Stop where the ultrasonic reading nears the floor of the wall: the floor is not a target.",
      "Wheel rated for the speed, guard on, eyes and face covered. Debris caught, nothing left in the pipe. Hot-work "
      "permit where the site asks for one.",
  };
}

std::string ArcCaution() {
  return "An arc burns eyes and skin: watch the screen, never look into the pipe, and keep others out of its light.";
}

}  // namespace app::joint
