#include "vision/tint/tint_options.h"

#include "vision/base/range.h"

namespace vision::tint {

Status BinOptions::Check() const {
  return FirstOutside("BinOptions", {{"aside_lines", aside_lines, 0, 60},
                                     {"least_share", least_share, 0, 1},
                                     {"blown_out", blown_out, 128, 255},
                                     {"glare_rim_mm", glare_rim_mm, 0, 10},
                                     {"step_mm", step_mm, 0.05, 2}});
}

}  // namespace vision::tint
