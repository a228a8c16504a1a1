#include "vision/bead/bead_options.h"

#include "vision/base/range.h"

namespace vision::bead {

Status EdgeOptions::Check() const {
  return FirstOutside("EdgeOptions", {{"reach_mm", reach_mm, 1, 20},
                                      {"step_window_mm", step_window_mm, 0.05, 5},
                                      {"step_unit", step_unit, 0.005, 2},
                                      {"dark_unit", dark_unit, 0.005, 2},
                                      {"other_cap", other_cap, 0, 20},
                                      {"narrow_mm", narrow_mm, 0.05, 5},
                                      {"narrow_weight", narrow_weight, 0, 20},
                                      {"narrow_cap", narrow_cap, 0, 1000},
                                      {"widest_mm", widest_mm, 1, 20},
                                      {"shade_mm", shade_mm, 0, 20},
                                      {"trend_weight", trend_weight, 0, 20},
                                      {"pull_knee", pull_knee, 0.1, 100},
                                      {"usual_within_mm", usual_within_mm, 0.05, 10},
                                      {"usual_weight", usual_weight, 0, 20},
                                      {"usual_knee", usual_knee, 0.1, 100},
                                      {"together_mm", together_mm, 0.1, 50},
                                      {"wanders_mm", wanders_mm, 0.01, 10},
                                      {"step_weight", step_weight, 0, 20},
                                      {"lines_window_mm", lines_window_mm, 0.1, 10},
                                      {"lines_end_weight", lines_end_weight, 0, 20},
                                      {"envelope_lines", envelope_lines, 3, 360}});
}

Status HollowOptions::Check() const {
  return FirstOutside("HollowOptions", {{"arc_mm", arc_mm, 0, 50},
                                        {"near_mm", near_mm, 0.1, 10},
                                        {"least_width_mm", least_width_mm, 0.1, 20},
                                        {"before_mm", before_mm, 0, 20},
                                        {"beyond_mm", beyond_mm, 0, 20},
                                        {"near_reach_mm", near_reach_mm, 0, 20},
                                        {"calm_mm", calm_mm, 0.5, 20},
                                        {"wall", wall, 0, 5},
                                        {"shade_mm", shade_mm, 0, 10},
                                        {"shade", shade, 0, 5},
                                        {"fall", fall, 0, 5},
                                        {"dark_share", dark_share, 0, 1}});
}

Status WeldBandOptions::Check() const {
  return FirstOutside("WeldBandOptions", {{"broad", broad, 0, 20},
                                          {"floor", floor, -20, 0},
                                          {"lines_weight", lines_weight, 0, 20},
                                          {"ceiling", ceiling, 0, 50},
                                          {"drift", drift, 0.01, 2},
                                          {"search_mm", search_mm, 0.5, 20},
                                          {"band_mm", band_mm, 0.5, 20}});
}

Status FinderOptions::Check() const {
  return FirstOutside("FinderOptions", {{"least_share", least_share, 0, 2},
                                        {"insert_mm", insert_mm, 0.5, 20},
                                        {"local_drift", local_drift, 0.01, 2},
                                        {"stands_mm", stands_mm, 0, 50},
                                        {"loose_half_deg", loose_half_deg, 0.5, 180},
                                        {"loose_within_mm", loose_within_mm, 0.01, 10},
                                        {"tight_half_deg", tight_half_deg, 0.5, 180},
                                        {"tight_within_mm", tight_within_mm, 0.01, 10},
                                        {"loose_passes", loose_passes, 0, 20},
                                        {"passes", passes, 1, 20}});
}

}  // namespace vision::bead
