#include "vision/relief/travel_options.h"

#include <cmath>

#include "vision/base/range.h"

namespace vision::relief {

Status TravelWallOptions::Check() const {
  for (const double value : usually)
    if (!(std::abs(value) <= 20)) return BadInput("TravelWallOptions::usually must be -20 to 20.");
  for (const double value : held_by)
    if (!(value > 0)) return BadInput("TravelWallOptions::held_by must be > 0.");
  for (const auto* places : {&before_mm, &beyond_mm})
    for (const double value : *places)
      if (!(value > 0)) return BadInput("TravelWallOptions: before_mm and beyond_mm must be > 0 mm.");
  return FirstOutside("TravelWallOptions", {{"around", around, 4, 360},
                                            {"near_share", near_share, 0, 5},
                                            {"far_share", far_share, 0, 5},
                                            {"pitch_share", pitch_share, 0.005, 1},
                                            {"clear_mm", clear_mm, 0, 20},
                                            {"least_places", least_places, 3, 10000},
                                            {"usual", usual, 0.001, 1},
                                            {"even_deg", even_deg, 0.5, 90}});
}

Status TravelSearchOptions::Check() const {
  for (const double value : exponents)
    if (!(value > 0)) return BadInput("TravelSearchOptions::exponents must be > 0.");
  for (const double value : skews)
    if (!(std::abs(value) <= 1)) return BadInput("TravelSearchOptions::skews must be -1 to 1.");
  return FirstOutside("TravelSearchOptions", {{"rough_mm", rough_mm, 0.02, 2},
                                              {"in_play", in_play, 1, 1000},
                                              {"asked", asked, 1, 720},
                                              {"least_u_mm", least_u_mm, 0.001, 1},
                                              {"moved", moved, 0.1, 5}});
}

Status TravelSampleOptions::Check() const {
  return FirstOutside("TravelSampleOptions", {{"blown", blown, 128, 255},
                                              {"blown_share", blown_share, 0, 1},
                                              {"within_line_deg", within_line_deg, 0.05, 5},
                                              {"border_px", border_px, 1, 50}});
}

}  // namespace vision::relief
