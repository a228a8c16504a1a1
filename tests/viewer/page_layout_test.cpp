#include "app/viewer/page_layout.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

namespace app::viewer {
namespace {

/// Circumference 480 mm, strip of 35 mm, page of 1456 x 640: lines 1392 px wide.
PageShape Shape() {
  PageShape shape;
  shape.radius_mm = 240 / std::numbers::pi;
  shape.z_from_mm = -17.5, shape.z_to_mm = 17.5;
  shape.width_px = 1456, shape.height_px = 640;
  shape.margin_px = 56, shape.above_px = 60, shape.below_px = 20;
  return shape;
}

TEST(PageLayout, ShowsTheWholeRingOnceAtTheLargestScaleThatFits) {
  const PageLayout page(Shape());
  EXPECT_TRUE(page.whole());
  EXPECT_GE(page.lines(), 2);  // one line alone would be 2.9 px a mm
  EXPECT_GT(page.px_per_mm(), 1392 / 480.0);
  double shown = 0;
  for (int line = 0; line < page.lines(); ++line) {
    const auto rect = page.StripRect(line);
    shown += rect.width;
    EXPECT_LE(rect.x + rect.width, 1456);
    EXPECT_LE(rect.y + rect.height + 20, 640);
  }
  EXPECT_EQ(static_cast<int>(shown), page.total_px());  // every degree once
}

TEST(PageLayout, SpotAndPlaceAreInverse) {
  PageLayout page(Shape());
  page.Pan(-731, 0);
  for (double theta = 0.4; theta < 360; theta += 17.3)
    for (double z = -17; z <= 17; z += 3.4) {
      const auto spot = page.SpotOf(theta, z);
      ASSERT_TRUE(spot) << theta;
      const auto place = page.At(*spot);
      ASSERT_TRUE(place) << theta;
      EXPECT_NEAR(place->theta_deg, theta, 1e-6);
      EXPECT_NEAR(place->z_mm, z, 1e-6);
    }
}

TEST(PageLayout, RunsOnAcrossTheEndOfALineAndAcrossThetaZero) {
  PageLayout page(Shape());
  const auto end = page.ThetaSpan(0).second, start = page.ThetaSpan(1).first;
  EXPECT_DOUBLE_EQ(end, start);
  page.Pan(200, 0);  // theta 0 now lies 200 px into the first line
  const auto before = page.At({56 + 199, page.StripRect(0).y}), after = page.At({56 + 201, page.StripRect(0).y});
  const double step = 360.0 / page.total_px();
  EXPECT_NEAR(before->theta_deg, 360 - step, 1e-9);
  EXPECT_NEAR(after->theta_deg, step, 1e-9);
}

TEST(PageLayout, PanningByTheWholeRingChangesNothing) {
  PageLayout page(Shape());
  page.SetScale(12);
  const int start = page.start_px();
  page.Pan(page.total_px(), 0);
  EXPECT_EQ(page.start_px(), start);
  page.Pan(-3 * page.total_px() - 5, 0);
  EXPECT_EQ(page.start_px(), start + 5);
}

TEST(PageLayout, ZoomKeepsThePlaceUnderTheMouse) {
  PageLayout page(Shape());
  page.SetScale(16);  // one line, taller than the page
  const Spot spot{700, page.StripRect(0).y + 60};
  const auto before = *page.At(spot);
  page.ZoomAbout(spot, 6);
  const auto after = *page.At(spot);
  EXPECT_NEAR(after.theta_deg, before.theta_deg, 1.0 / page.px_per_mm());
  EXPECT_NEAR(after.z_mm, before.z_mm, 1.0 / page.px_per_mm());
  for (int i = 0; i < 40; ++i) page.ZoomAbout(spot, 0.7);
  EXPECT_TRUE(page.whole());  // never smaller than the whole ring
}

TEST(PageLayout, ZoomsToManyScreenPixelsACellAndRevealsAPlace) {
  PageLayout page(Shape());
  page.SetScale(300);  // 30 px a cell of 0.1 mm
  EXPECT_EQ(page.lines(), 1);
  page.Reveal(271, 9.5);
  const auto spot = page.SpotOf(271, 9.5);
  ASSERT_TRUE(spot);
  EXPECT_NEAR(page.At(*spot)->theta_deg, 271, 1e-6);
}

TEST(PageLayout, ASmallWindowStillShowsSomething) {
  PageShape shape = Shape();
  shape.width_px = 120, shape.height_px = 40;
  const PageLayout page(shape);
  EXPECT_GE(page.lines(), 1);
  EXPECT_GT(page.StripRect(0).width, 0);
}

}  // namespace
}  // namespace app::viewer
