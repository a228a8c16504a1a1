#pragma once

#include <string>
#include <vector>

#include "vision/base/result.h"
#include "vision/study/hit_miss.h"

namespace vision::study {

/// Source: not noted, so taken as chosen; where a field says none.
struct PodPlotOptions {
  std::string title;
  std::string size_label = "size, mm";
  int width_px = 720, height_px = 440;  ///< Of the picture; in [200, 10000].

  [[nodiscard]] Status Check() const;
};

/// The curve with its lower confidence bounds (likelihood ratio drawn through, Wald broken), the targets as ticks
/// (found at the top, missed at the bottom) and the sizes a50, ap and their bounds: an SVG picture.
std::string PodSvg(const std::vector<Target>& targets, const PodFit& fit, const PodPlotOptions& options = {});

/// The curve as a table: detection, size, upper bound on the size by likelihood ratio and by Wald (empty = none).
std::string PodCsv(const std::vector<Target>& targets, const PodFit& fit);

}  // namespace vision::study
