#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/tint/tint.h"

/// The wall beside one toe in bins of a station line by a quarter of a millimetre, each with its mean colour.
namespace vision::tint {

enum class Bin : uchar { kTold, kOutOfSight, kBlownOut, kDark, kNoWhite };

struct Bins {
  cv::Mat2d chroma;       ///< a*, b* at equal lightness, rows = station lines, columns = steps outward from the toe.
  cv::Mat_<uchar> state;  ///< Bin
  int steps() const { return chroma.cols; }
  bool Told(int line, int step) const { return static_cast<Bin>(state(line, step)) == Bin::kTold; }
};

/// @param outward -1: the wall before the left toe (towards -z), +1: behind the right toe.
Bins GatherBins(const unroll::Strip& strip, const std::vector<double>& toe_z_mm, int outward,
                const std::vector<std::optional<White>>& whites, const TintOptions& options);

/// Median chroma of the bins from `from_mm` on, both sides; none where fewer than a tenth of the lines show any.
std::optional<cv::Vec2d> BareMetal(const Bins& left, const Bins& right, double from_mm, const BinOptions& o);

}  // namespace vision::tint
