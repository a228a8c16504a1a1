#include "vision/surface/surface_options.h"

#include "vision/base/range.h"

namespace vision::surface {

Status GroundOptions::Check() const {
  return FirstOutside("GroundOptions", {{"beside_mm", beside_mm, 1, 50},
                                        {"pad_mm", pad_mm, 1, 50},
                                        {"glare_rim_px", glare_rim_px, 0, 20},
                                        {"bridge_lines", bridge_lines, 0, 359}});
}

Status PoreOptions::Check() const {
  return FirstOutside("PoreOptions", {{"mouth_over_core", mouth_over_core, 1, 3},
                                      {"directions", directions, 4, 64},
                                      {"ring", ring, 0.5, 3},
                                      {"darker_than_bead", darker_than_bead, 0, 5},
                                      {"sector_deg", sector_deg, 5, 360},
                                      {"hole_is_dark", hole_is_dark, 0, 5},
                                      {"hole_mm", hole_mm, 0.1, 20},
                                      {"unusable_share", unusable_share, 0, 1},
                                      {"gap_reach_mm", gap_reach_mm, 0, 10}});
}

Status UndercutOptions::Check() const {
  return FirstOutside("UndercutOptions", {{"blur_around_mm", blur_around_mm, 0, 20},
                                          {"from_mm", from_mm, -5, 5},
                                          {"to_mm", to_mm, -5, 5},
                                          {"median_mm", median_mm, 0, 50},
                                          {"course_lines", course_lines, 1, 360},
                                          {"off_course_mm", off_course_mm, 0, 10},
                                          {"coarsest_mm", coarsest_mm, 0.05, 5},
                                          {"concave_beside_deg", concave_beside_deg, 0, 90}});
}

Status ConcaveLookOptions::Check() const {
  return FirstOutside("ConcaveLookOptions", {{"median_mm", median_mm, 0, 50}, {"least_mm", least_mm, 0, 100}});
}

Status ScaleOptions::Check() const {
  return FirstOutside("ScaleOptions", {{"fine_mm", fine_mm, 0.05, 5},
                                       {"coarse_mm", coarse_mm, 0.1, 20},
                                       {"thin_mm", thin_mm, 0.05, 5},
                                       {"line_mm", line_mm, 0.5, 50},
                                       {"window_around_mm", window_around_mm, 0.5, 50},
                                       {"window_along_mm", window_along_mm, 0.2, 20},
                                       {"from_mm", from_mm, 0, 10},
                                       {"to_mm", to_mm, 0.5, 50},
                                       {"step_mm", step_mm, 0.05, 5},
                                       {"coarsest_mm", coarsest_mm, 0.05, 5},
                                       {"least_usable_share", least_usable_share, 0, 1},
                                       {"ends_share", ends_share, 0, 1},
                                       {"rim_mm", rim_mm, 0, 5},
                                       {"course_lines", course_lines, 1, 360},
                                       {"off_course_mm", off_course_mm, 0, 10}});
}

}  // namespace vision::surface
