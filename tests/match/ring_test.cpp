#include "vision/match/ring.h"

#include <gmock/gmock.h>

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"

namespace vision::match {
namespace {

using testing::HasSubstr;

constexpr double kRadius_mm = 50;

/// A wall with drawing lines along the bore and stains, known everywhere: sums of seeded waves, not pixels, so that it
/// can be looked at through any shift without resampling.
class Wall {
 public:
  explicit Wall(unsigned seed) {
    cv::RNG random(seed);
    for (auto& wave : waves_) {
      wave.around = random.uniform(40, 260);  // whole waves around the bore
      wave.along = random.uniform(-1.5, 1.5);
      wave.phase = random.uniform(0.0, 6.28);
      wave.height = random.uniform(2.0, 7.0);
    }
  }
  double Grey(double theta_deg, double z_mm) const {
    double grey = 110;
    for (const auto& w : waves_)
      grey += w.height * std::cos(w.around * theta_deg * bore::kRadPerDeg + w.along * z_mm + w.phase);
    return grey;
  }

 private:
  struct Wave {
    int around = 0;
    double along = 0, phase = 0, height = 0;
  };
  std::array<Wave, 60> waves_;
};

/// What one recording shows: the wall turned by `roll_deg`, and the pose's error as a wobble of place.
struct Look {
  double roll_deg = 0, wobble_mm = 0, shift_mm = 0, gain = 1;
  unsigned noise_seed = 1;
};

FlatPicture PictureOf(const Wall& wall, const Look& look) {
  FlatPicture picture;
  picture.grid = unroll::StripGrid::Over(kRadius_mm, -17.7, 17.7, 0.2);
  const auto& grid = picture.grid;
  cv::Mat1b grey(grid.rows, grid.columns);
  cv::RNG random(look.noise_seed);
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const double theta = grid.ThetaDeg(column), t = theta * bore::kRadPerDeg;
      const double z = grid.ZMm(row) - look.shift_mm - look.wobble_mm * std::cos(t - 1);
      const double turn = look.roll_deg + look.wobble_mm * std::sin(t) / kRadius_mm * bore::kDegPerRad;
      // The weld differs: bright in one, dark in the other, as after a blend.
      const double value = std::abs(z) < 3 ? (look.roll_deg == 0 ? 220 : 60) : look.gain * wall.Grey(theta - turn, z);
      grey(row, column) = cv::saturate_cast<uchar>(value + random.gaussian(3));
    }
  cv::cvtColor(grey, picture.image, cv::COLOR_GRAY2BGR);
  picture.seen = cv::Mat1b(grid.rows, grid.columns, static_cast<uchar>(255));
  return picture;
}

/// Largest distance, mm, between where the match puts a place and where the wall was put, around the ring on both
/// walls.
double WorstError(const RingMatch& match, const Look& look) {
  double worst = 0;
  for (double fixed_theta = 0; fixed_theta < 360; fixed_theta += 3)
    for (const double fixed_z : {-9.0, 9.0}) {
      double theta = 0, z = 0;
      match.MovingFromFixed(fixed_theta, fixed_z, &theta, &z);
      const double t = theta * bore::kRadPerDeg;
      const double true_fixed = theta - look.roll_deg - look.wobble_mm * std::sin(t) / kRadius_mm * bore::kDegPerRad;
      const double true_z = z - look.shift_mm - look.wobble_mm * std::cos(t - 1);
      worst = std::max(worst,
                       std::hypot(bore::ArcMm(bore::Wrap180(true_fixed - fixed_theta), kRadius_mm), true_z - fixed_z));
    }
  return worst;
}

class AnyRoll : public testing::TestWithParam<double> {};

TEST_P(AnyRoll, TheWallIsFoundWithinAQuarterMillimetre) {
  const Wall wall(3);
  const Look look{GetParam(), 1.2, 0.8, 0.6, 9};
  const auto match = MatchRing(PictureOf(wall, {}), PictureOf(wall, look));
  ASSERT_TRUE(match.ok()) << match.error().message;
  EXPECT_TRUE(match.value().trusted) << EnglishOf(match.value().doubt) << ", lead " << match.value().lead;
  EXPECT_LT(WorstError(match.value(), look), 0.25) << "roll " << match.value().roll_deg;
  EXPECT_LT(match.value().residual_mm, 0.2);
}
INSTANTIATE_TEST_SUITE_P(RingMatch, AnyRoll, testing::Values(0.5, 37.3, 179.9, 268.0, 359.4));

TEST(RingMatch, AnotherWallIsRefusedOrNotTrusted) {
  const Wall one(3), other(4);
  const auto match = MatchRing(PictureOf(one, {}), PictureOf(other, {90, 0, 0, 1, 2}));
  if (match.ok()) {
    EXPECT_FALSE(match.value().trusted);
  } else {
    EXPECT_THAT(match.error().message, HasSubstr("not the same joint"));
  }
}

TEST(RingMatch, AnotherBoreIsRefused) {
  const Wall wall(3);
  auto other = PictureOf(wall, {});
  other.grid.radius_mm = 52;
  const auto match = MatchRing(PictureOf(wall, {}), other);
  ASSERT_FALSE(match.ok());
  EXPECT_THAT(match.error().message, HasSubstr("two joints"));
}

TEST(RingMatch, LaidOnShowsTheSameWall) {
  const Wall wall(3);
  const auto fixed = PictureOf(wall, {}), moving = PictureOf(wall, {137, 1, 0.5, 1, 5});
  const auto match = MatchRing(fixed, moving);
  ASSERT_TRUE(match.ok());
  const auto laid = LaidOn(moving, fixed.grid, match.value());
  const cv::Rect band(0, 20, fixed.grid.columns, 30);  // the wall beside the weld
  cv::Mat off;
  cv::absdiff(fixed.image(band), laid.image(band), off);
  EXPECT_LT(cv::mean(off)[0], 6);
  cv::absdiff(fixed.image(band), moving.image(band), off);
  EXPECT_GT(cv::mean(off)[0], 12);  // without the match they differ
}

TEST(RingMatch, StopsWhenAsked) {
  const Wall wall(3);
  std::stop_source stop;
  stop.request_stop();
  const auto match = MatchRing(PictureOf(wall, {}), PictureOf(wall, {}), {}, JobContext(stop.get_token(), {}));
  ASSERT_FALSE(match.ok());
  EXPECT_TRUE(match.cancelled());
}

}  // namespace
}  // namespace vision::match
