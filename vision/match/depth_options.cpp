#include "vision/match/depth_options.h"

#include "vision/base/range.h"

namespace vision::match {

Status FootprintOptions::Check() const {
  return FirstOutside("FootprintOptions", {{"beyond_mm", beyond_mm, 0, 100},
                                           {"half_band_mm", half_band_mm, 0.2, 20},
                                           {"high_share", high_share, 0, 1},
                                           {"low_share", low_share, 0, 1},
                                           {"step_share", step_share, 0, 1},
                                           {"least_mm", least_mm, 0, 10},
                                           {"fewest", fewest, 2, 100},
                                           {"toe_mm", toe_mm, 0, 10}});
}

}  // namespace vision::match
