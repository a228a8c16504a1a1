#include "vision/match/height_change.h"

#include <gtest/gtest.h>

#include <cmath>

#include "vision/bore/angle.h"

namespace vision::match {
namespace {

constexpr double kRadius_mm = 50, kRoll_deg = 33, kShift_mm = 0.8;

/// A wall with a bump of 0.5 mm about 100 degrees, z = 2, as a recording turned by `roll` and shifted sees it; nothing
/// known about 200 degrees.
relief::Relief Wall(double bump_mm, double roll_deg, double shift_mm) {
  auto relief = relief::EmptyRelief(kRadius_mm, -10, 10, 0.1, relief::How::kLightSection);
  for (int r = 0; r < relief.grid.rows; ++r)
    for (int c = 0; c < relief.grid.columns; ++c) {
      const double theta = bore::Wrap360(relief.grid.ThetaDeg(c) - roll_deg), z = relief.grid.ZMm(r) - shift_mm;
      if (std::abs(bore::Wrap180(theta - 200)) < 10) continue;
      const double from = std::hypot(bore::ArcMm(bore::Wrap180(theta - 100), kRadius_mm), z - 2);
      relief.h_mm(r, c) = static_cast<float>(from < 4 ? bump_mm : 0);
      relief.u_mm(r, c) = 0.03F;
    }
  return relief;
}

RingMatch Match() {
  RingMatch match;
  match.radius_mm = kRadius_mm, match.roll_deg = kRoll_deg;
  match.left_z_mm.c[0] = match.right_z_mm.c[0] = kShift_mm;
  return match;
}

float At(const HeightChange& change, const cv::Mat1f& values, double theta, double z) {
  return values(static_cast<int>(std::lround(change.grid.Row(z))), change.grid.NearestColumn(theta));
}

TEST(HeightChange, TellsWhatWentAndNothingElsewhere) {
  const auto before = Wall(0.5, 0, 0), after = Wall(-0.3, kRoll_deg, kShift_mm);
  const auto change = HeightChangeOf(before, after, Match());
  EXPECT_NEAR(At(change, change.mm, 100, 2), -0.8, 1e-5);
  EXPECT_NEAR(At(change, change.u_mm, 100, 2), 0.03 * std::sqrt(2.0), 1e-5);
  EXPECT_NEAR(At(change, change.mm, 103, 2), -0.8, 1e-5);  // 2.6 mm beside its middle: still in it
  EXPECT_NEAR(At(change, change.mm, 100, 6.5), 0, 1e-5);   // 4.5 mm: outside
  EXPECT_NEAR(At(change, change.mm, 100, -2.5), 0, 1e-5);
  EXPECT_NEAR(At(change, change.mm, 300, 2), 0, 1e-5);
  EXPECT_TRUE(std::isnan(At(change, change.mm, 200, 2)));
}

TEST(HeightChange, ThePictureIsBlueWhereMetalIsGoneOrangeWhereItCameAndDottedWhereNothingIsKnown) {
  const auto before = Wall(0.5, 0, 0), after = Wall(-0.3, 0, 0);
  RingMatch match;
  match.radius_mm = kRadius_mm;
  const auto strip = unroll::StripGrid::Over(kRadius_mm, -8, 8, 0.2);
  const auto pixel = [&](const cv::Mat3b& picture, double theta, double z) {
    return picture(static_cast<int>(std::lround((z - strip.z_from_mm) / strip.pitch_mm)),
                   static_cast<int>(std::lround(strip.Column(theta))) % strip.columns);
  };
  const auto gone = HeightPicture(HeightChangeOf(before, after, match), strip, 0.8);
  const auto came = HeightPicture(HeightChangeOf(after, before, match), strip, 0.8);
  EXPECT_GT(pixel(gone, 100, 2)[0], pixel(gone, 100, 2)[2] + 100);  // blue over red
  EXPECT_GT(pixel(came, 100, 2)[2], pixel(came, 100, 2)[0] + 100);
  const auto still = pixel(gone, 300, 2);
  EXPECT_LT(std::abs(still[0] - still[2]), 10);
  EXPECT_GT(still[0], 200);
  const cv::Mat3b unknown = gone(cv::Rect(static_cast<int>(strip.Column(195)), 10, 30, 30));
  EXPECT_LT(cv::mean(unknown)[0], 80);
}

TEST(RingMatch, FixedFromMovingUndoesMovingFromFixed) {
  RingMatch match = Match();
  match.left_z_mm.c[1] = 0.4, match.right_z_mm.c[0] = -0.5, match.right_arc_mm.c[2] = 0.9, match.left_arc_mm.c[0] = 0.3;
  for (double theta : {0.0, 77.0, 181.0, 359.5})
    for (double z : {-14.0, -3.0, 0.0, 2.5, 12.0}) {
      double there_theta = 0, there_z = 0, back_theta = 0, back_z = 0;
      match.MovingFromFixed(theta, z, &there_theta, &there_z);
      match.FixedFromMoving(there_theta, there_z, &back_theta, &back_z);
      EXPECT_NEAR(bore::ArcMm(bore::Wrap180(back_theta - theta), kRadius_mm), 0, 0.01) << theta << " " << z;
      EXPECT_NEAR(back_z, z, 0.01) << theta << " " << z;
    }
}

}  // namespace
}  // namespace vision::match
