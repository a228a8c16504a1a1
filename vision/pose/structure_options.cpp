#include "vision/pose/structure_options.h"

#include <string>

#include "vision/base/range.h"
#include "vision/pose/axial_lines.h"
#include "vision/pose/ring_agreement.h"

namespace vision::pose {

Status StructureOptions::Check() const {
  const auto broken = [](const std::string& rule) { return BadInput("StructureOptions::" + rule + "."); };
  if (!(chart.rim_deg >= 0 && chart.rim_deg <= 10)) return broken("chart.rim_deg must be 0 to 10");
  if (chart.rim_px < 0) return broken("chart.rim_px must be >= 0");
  if (!(chart.dark_level > 0 && chart.tint_level > 0)) return broken("chart.dark_level and tint_level must be > 0");
  if (coarse_width_px < 160 || fine_width_px < 160) return broken("coarse_width_px and fine_width_px must be >= 160");
  if (!(outward_deg > 0 && outward_deg <= 80)) return broken("outward_deg must be above 0 and at most 80");
  if (!(search_deg > 0 && search_deg <= 40)) return broken("search_deg must be above 0 and at most 40");
  if (!(search_step_deg > 0 && search_step_deg <= 5)) return broken("search_step_deg must be above 0 and at most 5");
  if (!(valley >= 0.1 && valley <= 1)) return broken("valley must be 0.1 to 1");
  if (!(walk_deg > 0 && walk_deg <= 20)) return broken("walk_deg must be above 0 and at most 20");
  if (!(walk_step_deg > 0 && walk_step_deg <= 3)) return broken("walk_step_deg must be above 0 and at most 3");
  if (keep < 1 || keep > 12) return broken("keep must be 1 to 12");
  if (read_places < 0 || read_places > 6) return broken("read_places must be 0 to 6");
  if (most_looks < 1 || most_looks > 6) return broken("most_looks must be 1 to 6");
  if (!(still > 0 && read_variance > 0)) return broken("still and read_variance must be > 0");
  if (!(read_freedom > 2)) return broken("read_freedom must be above 2");
  if (!(coarse_lines >= 0 && fine_lines >= 0)) return broken("coarse_lines and fine_lines must be >= 0");
  if (!(tilt_u_deg > 0 && offset_u_share > 0 && prior_cost > 0))
    return broken("tilt_u_deg, offset_u_share and prior_cost must be > 0");
  if (!(most_offset_share > 0 && most_offset_share <= 0.8))
    return broken("most_offset_share must be above 0 and at most 0.8");
  if (!(most_tilt_deg > 0 && most_tilt_deg <= 45)) return broken("most_tilt_deg must be above 0 and at most 45");
  if (!(beyond_toe_share >= 0)) return broken("beyond_toe_share must be >= 0");
  if (!(margin_deg > 0 && margin_share > 0)) return broken("margin_deg and margin_share must be > 0");
  if (!(min_score >= 0 && min_margin >= 0)) return broken("min_score and min_margin must be >= 0");
  if (!(score_unit > 0 && least_tilt_u_deg > 0 && least_offset_u_share > 0))
    return broken("score_unit, least_tilt_u_deg and least_offset_u_share must be > 0");
  if (!(misalignment_mm >= 0 && middle_u_mm >= 0 && distance_u_share >= 0))
    return broken("misalignment_mm, middle_u_mm and distance_u_share must be >= 0");
  if (!(least_kept >= 0 && least_kept <= 1)) return broken("least_kept must be 0 to 1");
  return doubt.Check();
}

Status AxialLineOptions::Check() const {
  return FirstOutside("AxialLineOptions", {{"from_deg", from_deg, 0.1, 109},
                                           {"to_deg", to_deg, from_deg, 110},
                                           {"blocks", blocks, 3, 1000},
                                           {"rows_a_block", rows_a_block, 1, 1000},
                                           {"columns", columns, 360, 36000},
                                           {"fine_deg", fine_deg, 0, coarse_deg},
                                           {"coarse_deg", coarse_deg, 0.01, 90},
                                           {"local_deg", local_deg, 0.1, 360},
                                           {"clip", clip, 0.01, 1000},
                                           {"block_clip", block_clip, 0.01, 1000},
                                           {"column_cap", column_cap, 0.01, 1e6},
                                           {"least_size", least_size, 1e-6, 1}});
}

Status RingAgreementOptions::Check() const {
  if (sectors > 0 && columns % sectors != 0)
    return BadInput("RingAgreementOptions::columns must be a multiple of sectors.");
  return FirstOutside("RingAgreementOptions", {{"from_deg", from_deg, 0.1, 89},
                                               {"to_deg", to_deg, from_deg, 90},
                                               {"rows", rows, 20, 10000},
                                               {"columns", columns, 24, 36000},
                                               {"sectors", sectors, 8, 360},
                                               {"fine_deg", fine_deg, 0.001, coarse_deg},
                                               {"coarse_deg", coarse_deg, 0.01, 90},
                                               {"clip", clip, 0.01, 1000},
                                               {"tint_weight", tint_weight, 0, 1000},
                                               {"least_sectors", least_sectors, 0.001, 1},
                                               {"seen_share", seen_share, 0.001, 1},
                                               {"least_light", least_light, 0, 1},
                                               {"least_tint", least_tint, 0, 1},
                                               {"most_agreement", most_agreement, 1, 1000}});
}

}  // namespace vision::pose
