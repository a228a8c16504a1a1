#include "vision/relief/light_options.h"

#include "vision/base/range.h"

namespace vision::relief {

Status LightCutOptions::Check() const {
  return FirstOutside("LightCutOptions", {{"edge_scatter_mm", edge_scatter_mm, 0, 1},
                                          {"drawing_mm", drawing_mm, 0, 1},
                                          {"own_light_mm", own_light_mm, 0, 1},
                                          {"own_light_at_mm_per_px", own_light_at_mm_per_px, 0.05, 5},
                                          {"one_edge_mm", one_edge_mm, 0, 1},
                                          {"apart_share", apart_share, 0, 2},
                                          {"beside_mm", beside_mm, 0, 10},
                                          {"bridged_mm", bridged_mm, 0, 50},
                                          {"curvature_per_mm", curvature_per_mm, 0, 5}});
}

Status StripeTraceOptions::Check() const {
  return FirstOutside("StripeTraceOptions", {{"level_share", level_share, 0.1, 0.9},
                                             {"full_share", full_share, 0.1, 1},
                                             {"stray_px", stray_px, 0.1, 20},
                                             {"alike_share", alike_share, 0, 1},
                                             {"dark_share", dark_share, 0, 1},
                                             {"slope_rows", slope_rows, 1, 20},
                                             {"stands_off", stands_off, 1, 200},
                                             {"colour_spread_px", colour_spread_px, 0, 100},
                                             {"beside_px", beside_px, 4, 100},
                                             {"radius_share", radius_share, 0, 0.5},
                                             {"off_the_bore_mm", off_the_bore_mm, 0, 20},
                                             {"bands_tried", bands_tried, 1, 10},
                                             {"stands_over", stands_over, 0, 20},
                                             {"uneven_quantile", uneven_quantile, 0.4, 1},
                                             {"evened_columns", evened_columns, 0, 20},
                                             {"glare_share", glare_share, 0, 10},
                                             {"astray_share", astray_share, 0.001, 1},
                                             {"beside_glare_px", beside_glare_px, 0, 20},
                                             {"rim_share", rim_share, 0, 1},
                                             {"rim_before_px", rim_before_px, 0, 10},
                                             {"rim_beyond_px", rim_beyond_px, 0, 10},
                                             {"fewest_even", fewest_even, 2, 100},
                                             {"widest_share", widest_share, 1, 10},
                                             {"trials", trials, 10, 100000}});
}

Status OwnLightOptions::Check() const {
  return FirstOutside(
      "OwnLightOptions",
      {{"fewest", fewest, 10, 100000}, {"beside_share", beside_share, 0, 0.5}, {"least_apart", least_apart, 0, 1}});
}

Status DrawingOptions::Check() const {
  return FirstOutside("DrawingOptions", {{"pitch_mm", pitch_mm, 0.05, 2},
                                         {"patch_mm", patch_mm, 1, 50},
                                         {"patch_share", patch_share, 0.01, 1},
                                         {"apart_px", apart_px, 0, 50},
                                         {"fine_mm", fine_mm, 0.05, 5},
                                         {"coarse_mm", coarse_mm, 0.1, 20}});
}

}  // namespace vision::relief
