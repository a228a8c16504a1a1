#include "vision/base/median.h"

#include <gtest/gtest.h>

namespace vision {
namespace {

TEST(Median, IsTheMiddleOneAndOfAnEvenNumberTheUpperOfTheTwo) {
  EXPECT_EQ(Median(std::vector<double>{3, 1, 2}), 2);
  EXPECT_EQ(Median(std::vector<double>{4, 1, 3, 2}), 3);
  EXPECT_EQ(Median(std::vector<float>{7}), 7);
}

}  // namespace
}  // namespace vision
