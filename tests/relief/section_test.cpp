#include "vision/relief/section.h"

#include <gtest/gtest.h>

namespace vision::relief {
namespace {

TEST(Relief, AnEmptyOneIsSoundAndAWrongOneSaysWhatIsWrong) {
  Relief relief = EmptyRelief(77, -8, 8, 0.2, How::kTravel);
  EXPECT_FALSE(relief.Check());
  EXPECT_EQ(relief.grid.rows, 81);
  EXPECT_EQ(cv::countNonZero(relief.h_mm == relief.h_mm), 0);
  relief.u_mm = cv::Mat1f(3, 3, 0.F);
  ASSERT_TRUE(relief.Check());
  EXPECT_NE(relief.Check()->message.find("as large as the grid"), std::string::npos);
}

}  // namespace
}  // namespace vision::relief
