#include "vision/match/change_options.h"

#include "vision/base/range.h"

namespace vision::match {

Status EvidenceOptions::Check() const {
  return FirstOutside("EvidenceOptions",
                      {{"fine_mm", fine_mm, 0.05, 5}, {"coarse_mm", coarse_mm, 0.1, 50}, {"sectors", sectors, 8, 720}});
}

Status OutlineOptions::Check() const {
  return FirstOutside("OutlineOptions", {{"finish_around_u_mm", finish_around_u_mm, 0, 20},
                                         {"finish_along_u_mm", finish_along_u_mm, 0, 20},
                                         {"directions", directions, 24, 3600},
                                         {"reach_steps", reach_steps, 1, 100},
                                         {"step_mm", step_mm, 0.02, 5},
                                         {"bend", bend, 0, 1000},
                                         {"cells_in_one", cells_in_one, 1, 1000},
                                         {"sure", sure, 0.1, 100},
                                         {"fewest_mm2", fewest_mm2, 0, 100},
                                         {"out", out, 0, 5},
                                         {"sigmas", sigmas, 0, 100}});
}

Status FateOptions::Check() const {
  return FirstOutside("FateOptions", {{"margin_mm", margin_mm, 0, 10}, {"beside_mm", beside_mm, 0, 10}});
}

}  // namespace vision::match
