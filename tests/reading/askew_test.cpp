#include <gtest/gtest.h>

#include <cmath>

#include "vision/reading/push.h"

namespace vision::reading {
namespace {

/// Toes on a plane that leans by `lean_deg` towards `towards_deg`: z = R tan(lean) cos(theta - towards).
Look Leaning(double lean_deg, double towards_deg, std::size_t stated = 720) {
  Look look;
  for (std::size_t i = 0; i < 720; ++i) {
    const double theta_deg = 0.5 * static_cast<double>(i);
    look.toes.left.z_mm.push_back(-2 + 75 * std::tan(lean_deg * M_PI / 180) *
                                           std::cos((theta_deg - towards_deg) * M_PI / 180));
    look.toes.left.visible.push_back(i < stated);
  }
  return look;
}

TEST(Askew, IsTheLeanOfThePlaneThatTheToesLieIn) {
  EXPECT_NEAR(AskewDeg(Leaning(0, 0), 75), 0, 1e-9);
  EXPECT_NEAR(AskewDeg(Leaning(5.5, 270), 75), 5.5, 1e-6);
  EXPECT_NEAR(AskewDeg(Leaning(1.2, 33, 500), 75), 1.2, 1e-6);
  EXPECT_EQ(AskewDeg(Leaning(5.5, 270, 300), 75), 0) << "too little of the ring to tell";
}

}  // namespace
}  // namespace vision::reading
