#include "vision/pose/doubt.h"

#include <gmock/gmock.h>

#include <cmath>
#include <functional>

#include "vision/pose/weld_profile.h"

namespace vision::pose {
namespace {

/// Written out by hand: odds 0 are even chances, ln 9 are nine to one.
TEST(Doubt, IsTheLogisticOfItsSum) {
  DoubtOptions options;
  options.base = 2, options.root_margin = -4, options.rings = 2, options.ln_read_u = 0;
  // 2 - 4 * 0.3 - 2 * 0.4 = 0
  EXPECT_NEAR(ChanceOfWrongStand({0.09, -0.4}, options), 0.5, 1e-12);
  options.base += std::log(9.0);
  EXPECT_NEAR(ChanceOfWrongStand({0.09, -0.4}, options), 0.9, 1e-12);
  options.most_margin = 0.04;  // more says no more then: 4 * (0.3 - 0.2) is missing
  EXPECT_NEAR(ChanceOfWrongStand({0.09, -0.4}, options), 1 / (1 + std::exp(-std::log(9.0) - 0.4)), 1e-12);
}

/// ln e is one.
TEST(Doubt, AStandReadWithLittleTrustIsLikelierWrong) {
  DoubtOptions options;
  options.base = 0, options.root_margin = 0, options.rings = 0, options.ln_read_u = 2, options.most_read_u_deg = 3;
  EXPECT_NEAR(ChanceOfWrongStand({0, 0, std::exp(1.0)}, options), 1 / (1 + std::exp(-2.0)), 1e-12);
  EXPECT_EQ(ChanceOfWrongStand({0, 0, 9}, options), ChanceOfWrongStand({0, 0, 3}, options));
  EXPECT_GT(ChanceOfWrongStand({0.1, 0.3, 2}, {}), DoubtOptions().most_wrong);
  EXPECT_LT(ChanceOfWrongStand({0.1, 0.3, 0.2}, {}), DoubtOptions().most_wrong);
}

TEST(Doubt, AMarginLessThanNoneIsNone) {
  EXPECT_EQ(ChanceOfWrongStand({-0.1, 0.2}, {}), ChanceOfWrongStand({0, 0.2}, {}));
  EXPECT_GT(ChanceOfWrongStand({0, 0.3}, {}), DoubtOptions().most_wrong) << "another place fits as well";
}

/// Either of two independent faults: 1 - 0.9 * 0.8.
TEST(Doubt, AWrongStandAndAWrongRingAreFaultsByThemselves) { EXPECT_NEAR(ChanceOfEither(0.1, 0.8), 0.28, 1e-12); }

/// Either fault alone makes it a picture for the eye.
TEST(Doubt, ARingOrAStandInDoubtIsForTheEyeOnly) {
  DoubtOptions options;
  options.most_wrong_weld = 0.2, options.most_wrong_measured = 0.3;
  EXPECT_TRUE(MayBeMeasured(0.29, 0.81, options));
  EXPECT_FALSE(MayBeMeasured(0.29, 0.79, options));
  EXPECT_FALSE(MayBeMeasured(0.31, 0.81, options));
}

TEST(Doubt, OptionsNameWhatIsWrong) {
  DoubtOptions options;
  options.most_wrong = 0;
  EXPECT_THAT(options.Check()->message, testing::HasSubstr("most_wrong"));
  options = {}, options.most_wrong_measured = 0.01;
  EXPECT_THAT(options.Check()->message, testing::HasSubstr("most_wrong_measured"));
}

/// Two rings of odds ln 3 and ln 1 beside "none" (1): 3/5 and 1/5.
TEST(Welds, ChancesAreSharedWithThereBeingNone) {
  std::vector<WeldSeen> welds(2);
  welds[0].odds = std::log(3.0), welds[1].odds = 0;
  ShareChances(&welds);
  EXPECT_NEAR(welds[0].chance, 0.6, 1e-12);
  EXPECT_NEAR(welds[1].chance, 0.2, 1e-12);
}

/// A wall painted by formula on a sphere chart: the camera stands on the axis, R = 50 mm, a bead from 45 to 50 mm
/// ahead. The same brightness that does not come back after it is a step, and no weld.
std::vector<WallView> Painted(double radius_mm, const std::function<float(double)>& light_at_mm) {
  WallView view;
  view.chart.scale_px = 600, view.chart.centre_x = view.chart.centre_y = 640;
  view.chart.px_per_rad = 300;
  view.chart.light = cv::Mat1f(1281, 1281), view.chart.tint = cv::Mat1f::zeros(1281, 1281);
  for (int v = 0; v < 1281; ++v)
    for (int u = 0; u < 1281; ++u) {
      const double r = std::hypot(u - 640, v - 640) / 600;  // tan of half the angle from the axis
      const double z_mm = radius_mm * (1 - r * r) / (2 * std::max(1e-3, r));
      const double grain = 0.02 * std::sin(0.9 * u + 1.7 * v);
      view.chart.light(v, u) = static_cast<float>(light_at_mm(z_mm) + grain);
    }
  return {view};
}

/// Rings by chance, such as turning marks leave: a few wavelengths of 0.02 each.
double Marks(double z_mm) {
  return 0.02 * (std::sin(1.31 * z_mm) + std::sin(2.23 * z_mm + 1) + std::sin(0.57 * z_mm + 2));
}

TEST(Welds, ABeadIsLikelierThanNoneAndAWallWithoutOneIsNot) {
  const auto bead = [](double z) { return static_cast<float>((z > 45 && z < 50 ? 4.5 : 4.0) + Marks(z)); };
  StandRead there, none;
  there.weld.fill(0.1 / kWeldRows), there.weld[40] = 0.9;  // 46.5 degrees from the axis: 0.95 radii ahead
  none.weld.fill(0.1 / kWeldRows), none.weld.back() = 0.9;
  const auto with = FindWelds(Painted(50, bead), {0, 0}, {0, 0}, 50, {}, &there);
  ASSERT_FALSE(with.empty());
  EXPECT_GT(with.front().odds, 0);
  EXPECT_GT(with.front().chance, 0.8);
  EXPECT_NEAR(with.front().middle_mm(), 47.5, 1);
  const auto wall = [](double z) { return static_cast<float>(4.0 + Marks(z)); };
  for (const WeldSeen& ring : FindWelds(Painted(50, wall), {0, 0}, {0, 0}, 50, {}, &none))
    EXPECT_LT(ring.odds, 0) << ring.near_mm << " to " << ring.far_mm << " mm";
}

}  // namespace
}  // namespace vision::pose
