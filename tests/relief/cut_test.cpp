#include "vision/relief/cut.h"

#include <gtest/gtest.h>

#include <cmath>

namespace vision::relief {
namespace {

// A column of its own: a parabola of 1.2 mm over a chord at 0, written in by formula; the column beside stays empty.
TEST(CutOf, IsTheNearestColumnAndEndsWhereNothingWasMeasured) {
  Relief relief = EmptyRelief(77, -8, 8, 0.2, How::kLightSection);
  for (int row = 0; row < relief.grid.rows; ++row) {
    const double z = relief.grid.ZMm(row);
    if (std::abs(z - 4) < 0.5) continue;  // a hole from 3.6 to 4.4
    relief.h_mm(row, 100) = static_cast<float>(std::abs(z) < 3 ? 1.2 * (1 - z * z / 9) : 0);
    relief.u_mm(row, 100) = 0.03F;
  }
  const auto cut = CutOf(relief, 50.2);  // columns of half a degree: 50.0 is the nearest
  ASSERT_EQ(cut.size(), 2u);
  EXPECT_NEAR(cut[0].front().z_mm, -8, 1e-9);
  EXPECT_NEAR(cut[0].back().z_mm, 3.4, 1e-9);
  EXPECT_NEAR(cut[1].front().z_mm, 4.6, 1e-9);
  for (const auto& cell : cut[0]) {
    EXPECT_NEAR(cell.h_mm, std::abs(cell.z_mm) < 3 ? 1.2 * (1 - cell.z_mm * cell.z_mm / 9) : 0, 1e-6);
    EXPECT_NEAR(cell.u_mm, 0.03, 1e-6);
  }
  EXPECT_TRUE(CutOf(relief, 50.3).empty());
  EXPECT_EQ(CutOf(relief, 410).size(), 2u);   // a turn more
  EXPECT_EQ(CutOf(relief, -310).size(), 2u);  // a turn less
  EXPECT_TRUE(CutOf(relief, 359.9).empty());  // the seam: column 0
}

}  // namespace
}  // namespace vision::relief
