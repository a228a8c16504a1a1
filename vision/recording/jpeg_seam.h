#pragma once

#include <vector>

namespace vision::recording {

/// Mean levels of one component's blocks of 8 x 8 samples, row by row.
struct BlockLevels {
  int columns = 0, rows = 0;
  int across = 1, down = 1;  ///< Blocks of one coded unit.
  std::vector<float> level;  ///< Grey levels of 8 bits, from the middle grey; columns * rows of them.

  float at(int row, int column) const { return level[static_cast<std::size_t>(row * columns + column)]; }
};

/// Source: not noted, so taken as chosen; where a field says none.
struct SeamOptions {
  float least = 1.5F;  ///< Grey levels that the jump must have; > 0.
  double share = 0.8;  ///< Of the blocks on either side of the place that must show at least half of it; in (0.5, 1].
  double elsewhere = 0.2;  ///< Of those that must not show it, how many may; in [0, 0.5). No unit.
  int least_blocks = 12;   ///< On either side of the place; > 0.
};

/// Whether all blocks from one coded unit on are lighter or darker by one amount. Blocks are coded by their difference
/// from the one before (T.81, F.1.1.5.1), so a changed bit moves the level of all that follow: in the row of units of
/// the change what lies right of it, then whole rows. In a picture an edge runs along a row of blocks, or it slants:
/// it does not step down by one row at one place and keep its height over the full width.
bool LevelsJump(const BlockLevels& blocks, const SeamOptions& options = {});

}  // namespace vision::recording
