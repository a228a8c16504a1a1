#include "vision/relief/section_options.h"

#include "vision/base/range.h"

namespace vision::relief {

Status SectionToeOptions::Check() const {
  return FirstOutside("SectionToeOptions", {{"block_deg", block_deg, 0.5, 45},
                                            {"step_mm", step_mm, 0.02, 2},
                                            {"furthest_mm", furthest_mm, 2, 20},
                                            {"reach_mm", reach_mm, 2, 50},
                                            {"fit_mm", fit_mm, 0.001, 1},
                                            {"wall_mm", wall_mm, 0.001, 1},
                                            {"lean", lean, 0.01, 5},
                                            {"apart_mm", apart_mm, 0.01, 5},
                                            {"hopeless", hopeless, 1, 1000},
                                            {"softness", softness, 1, 100},
                                            {"telling_rise_mm", telling_rise_mm, 0, 5},
                                            {"runs_on_mm", runs_on_mm, 0, 5},
                                            {"carries_deg", carries_deg, 0, 180},
                                            {"rounds", rounds, 1, 20}});
}

}  // namespace vision::relief
