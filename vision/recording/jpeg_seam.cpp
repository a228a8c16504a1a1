#include "vision/recording/jpeg_seam.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "vision/base/median.h"

namespace vision::recording {
namespace {

/// What the level does between `row - 1` and `row` beyond what it does just above and below.
std::vector<float> Jumps(const BlockLevels& blocks, int row) {
  std::vector<float> jumps;
  for (int column = 0; column < blocks.columns; ++column) {
    const float here = blocks.at(row, column) - blocks.at(row - 1, column),
                above = blocks.at(row - 1, column) - blocks.at(row - 2, column),
                below = blocks.at(row + 1, column) - blocks.at(row, column);
    jumps.push_back(here - (above + below) / 2);
  }
  return jumps;
}

/// Share of [from, to) in which a jump reaches half of `whole`, in its direction.
double Showing(const std::vector<float>& jumps, int from, int to, float whole) {
  const auto count = std::count_if(jumps.begin() + from, jumps.begin() + to,
                                   [&](float jump) { return whole > 0 ? jump > whole / 2 : jump < whole / 2; });
  return static_cast<double>(count) / (to - from);
}

/// The jump above the units' row right of `column`, below it left of `column`, and nowhere else.
bool StepsAt(const std::vector<float>& upper, const std::vector<float>& lower, int column, const SeamOptions& o) {
  const int end = static_cast<int>(upper.size());
  std::vector<float> along(lower.begin(), lower.begin() + column);
  along.insert(along.end(), upper.begin() + column, upper.end());
  const float whole = Median(std::move(along));
  return std::abs(whole) >= o.least && Showing(upper, column, end, whole) >= o.share &&
         Showing(lower, 0, column, whole) >= o.share && Showing(upper, 0, column, whole) <= o.elsewhere &&
         Showing(lower, column, end, whole) <= o.elsewhere;
}

/// Share of jumps above `least / 2` in one direction: where it is low no place of the row need be tried.
bool WorthTrying(const std::vector<float>& upper, const std::vector<float>& lower, const SeamOptions& o) {
  const int end = static_cast<int>(upper.size());
  for (const float whole : {o.least, -o.least})
    if (Showing(upper, 0, end, whole) + Showing(lower, 0, end, whole) >= o.share) return true;
  return false;
}

}  // namespace

bool LevelsJump(const BlockLevels& blocks, const SeamOptions& options) {
  const int most = blocks.columns - options.least_blocks;
  for (int row = 2 * blocks.down; row + blocks.down + 1 < blocks.rows; row += blocks.down) {
    if (row < 2) continue;
    const auto upper = Jumps(blocks, row), lower = Jumps(blocks, row + blocks.down);
    if (!WorthTrying(upper, lower, options)) continue;
    for (int column = blocks.across; column <= most; column += blocks.across)
      if (column >= options.least_blocks && StepsAt(upper, lower, column, options)) return true;
  }
  return false;
}

}  // namespace vision::recording
