#include "vision/relief/light.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "tests/relief/light_lens.h"
#include "vision/bore/angle.h"
#include "vision/relief/light_stripe.h"

namespace vision::relief {
namespace {

/// A third of a millimetre a pixel on the wall.
camera::Lens FineLens() {
  camera::Lens lens = SmallLens();
  lens.width_px = lens.height_px = 1280;
  lens.fx_px = lens.fy_px = 460;
  lens.cx_px = lens.cy_px = 639.5;
  return lens;
}

/// A bore with a green plane of light at `kDistance_mm`, painted by formula: linear light 0.04 of the lamps plus a
/// Gaussian of 0.35 mm in z; codes by a power of 1 / 2.2, clipped. `glint` paints a white highlight that touches the
/// stripe's outside from 40 to 70 degrees of azimuth.
cv::Mat3b PaintedRing(const camera::Lens& lens, double offset_x_mm, float peak, bool glint) {
  cv::Mat3b image(lens.height_px, lens.width_px, cv::Vec3b(0, 0, 0));
  for (int v = 0; v < image.rows; ++v)
    for (int u = 0; u < image.cols; ++u) {
      const auto ray = lens.Ray({u, v});
      if (!ray || ray->head<2>().norm() < 0.2) continue;
      const auto wall = bore::WallFromRay({offset_x_mm, 0, 0}, *ray, kRadius_mm);
      if (!wall) continue;
      const double off = (wall->z_mm - kDistance_mm) / 0.35;
      const double light = peak * std::exp(-0.5 * off * off);
      double white = 0.04;
      const double azimuth = std::atan2(ray->y(), ray->x()) * 57.29578;
      if (glint && azimuth > 40 && azimuth < 70 && off > -9 && off < -1) white = 2;
      const double bgr[3] = {white + 0.25 * light, white + light, white + 0.2 * light};
      for (int k = 0; k < 3; ++k)
        image(v, u)[k] = cv::saturate_cast<uchar>(255 * std::pow(std::min(1.0, bgr[k]), 1 / 2.2));
    }
  return image;
}

StripeOptions OptionsFor() {
  StripeOptions options;
  options.radius_mm = kRadius_mm;
  options.expected_slope = kRadius_mm / kDistance_mm;
  return options;
}

/// Radius of the surface at one column: the two edges are cuts before and behind the plane, their harmonic mean is it.
double RadiusAt(const StripePoint& p, double offset_x_mm) {
  const Eigen::Vector2d axis(-offset_x_mm / kDistance_mm, 0);
  const double a = (p.inner - axis).norm(), b = (p.outer - axis).norm();
  return kDistance_mm * 2 * a * b / (a + b);
}

class StripePeak : public testing::TestWithParam<float> {};

TEST_P(StripePeak, LiesOnTheWallWhetherBlownOutOrNot) {
  const auto lens = SmallLens();
  const auto stripe = FindStripe(PaintedRing(lens, 4, GetParam(), false), lens, {}, OptionsFor());
  ASSERT_TRUE(stripe);
  EXPECT_GT(stripe->found_share, 0.98);
  double sum = 0, worst = 0;
  int count = 0;
  for (const auto& p : stripe->points) {
    if (!p.has_inner() || !p.has_outer()) continue;
    const double off = RadiusAt(p, 4) - kRadius_mm;
    sum += off;
    worst = std::max(worst, std::abs(off));
    ++count;
  }
  ASSERT_GT(count, 1300);
  EXPECT_NEAR(sum / count, 0, 0.03);
  EXPECT_LT(worst, 0.25);  // a quarter of a pixel: the picture is painted without blur
}

INSTANTIATE_TEST_SUITE_P(Peaks, StripePeak, testing::Values(0.6F, 8.F));

/// A white ring all round, brighter than the stripe, as the lamps make one on a bead that stands askew.
TEST(FindStripe, ABrighterRingThatIsNotOfItsColourIsNotTheStripe) {
  const auto lens = SmallLens();
  cv::Mat3b image = PaintedRing(lens, 0, 0.5F, false);
  for (int v = 0; v < image.rows; ++v)
    for (int u = 0; u < image.cols; ++u) {
      const auto ray = lens.Ray({u, v});
      if (!ray || ray->head<2>().norm() < 0.2) continue;
      const double z = kRadius_mm * ray->z() / ray->head<2>().norm() - kDistance_mm;
      const double middle = 4 + 2 * std::cos(std::atan2(ray->y(), ray->x()));
      if (std::abs(z - middle) < 0.6) image(v, u) = cv::Vec3b(235, 235, 235);
    }
  const auto stripe = FindStripe(image, lens, {}, OptionsFor());
  ASSERT_TRUE(stripe);
  int seen = 0;
  for (const auto& p : stripe->points)
    if (p.has_inner() && p.has_outer()) {
      EXPECT_NEAR(RadiusAt(p, 0), kRadius_mm, 0.4);
      ++seen;
    }
  EXPECT_GT(seen, 1000);
}

TEST(FindStripe, AHighlightBesideItTakesOneEdgeAndMovesNothing) {
  const auto lens = SmallLens();
  const auto stripe = FindStripe(PaintedRing(lens, 0, 8, true), lens, {}, OptionsFor());
  ASSERT_TRUE(stripe);
  int inner_only = 0;
  for (const auto& p : stripe->points) {
    if (p.has_inner()) {
      const double half = p.inner.norm() * kDistance_mm;
      EXPECT_NEAR(half, stripe->points[900].inner.norm() * kDistance_mm, 0.3);
    }
    inner_only += p.has_inner() && !p.has_outer();
  }
  EXPECT_GT(inner_only, 60);  // of about 120 columns beside the highlight
}

/// The frame of PaintedRing with a grey bead all round, lit by the lamps, that begins 1.2 mm (under four pixels) behind
/// the plane; blurred.
cv::Mat3b BesideABead(const camera::Lens& lens, bool bead) {
  cv::Mat3b image = PaintedRing(lens, 0, 0.6F, false);
  for (int v = 0; v < image.rows && bead; ++v)
    for (int u = 0; u < image.cols; ++u) {
      const auto ray = lens.Ray({u, v});
      if (!ray || ray->head<2>().norm() < 0.2) continue;
      const double z = kRadius_mm * ray->z() / ray->head<2>().norm() - kDistance_mm;
      if (z < 1.2 || z > 7) continue;
      for (int k = 0; k < 3; ++k) {
        const double lit = std::pow(image(v, u)[k] / 255.0, 2.2) + 0.3;
        image(v, u)[k] = cv::saturate_cast<uchar>(255 * std::pow(std::min(1.0, lit), 1 / 2.2));
      }
    }
  cv::GaussianBlur(image, image, {}, 0.8);
  return image;
}

/// Middle of the radii found, less the wall's; NaN where fewer than half of the columns have both edges.
double Bias(const std::optional<Stripe>& stripe) {
  double sum = 0;
  int count = 0;
  if (stripe)
    for (const auto& p : stripe->points)
      if (p.has_inner() && p.has_outer()) sum += RadiusAt(p, 0) - kRadius_mm, ++count;
  return count > 720 ? sum / count : NAN;
}

/// What frames tell in which the stripe stands alone keeps the bead's light out of the edges in one where it does not.
TEST(FindStripe, ABrightBeadBesideItDoesNotMoveItsEdges) {
  const auto lens = FineLens();
  const cv::Mat3b plain = BesideABead(lens, false), beside = BesideABead(lens, true);
  const auto alone = FindStripe(plain, lens, {}, OptionsFor());
  ASSERT_TRUE(alone);
  EXPECT_NEAR(Bias(alone), 0, 0.03);
  OwnLight own;
  own.Learn(plain, lens, *alone);
  StripeOptions told = OptionsFor();
  told.usual_width = alone->width, told.rim = alone->rim, told.unmix = own.Weights();
  ASSERT_TRUE(told.unmix);
  EXPECT_NEAR(told.unmix->dot({1, 1, 1}), 0, 0.05);  // the wall is grey: it goes out
  EXPECT_NEAR(Bias(FindStripe(beside, lens, {}, told)), 0, 0.03);
  const double untold = Bias(FindStripe(beside, lens, {}, OptionsFor()));
  EXPECT_FALSE(std::abs(untold) < 0.15) << "the frame by itself would do: this tests nothing";
}

TEST(OwnLight, AWhiteStripeHasNone) {
  const auto lens = SmallLens();
  cv::Mat grey, white;
  cv::cvtColor(PaintedRing(lens, 0, 0.6F, false), grey, cv::COLOR_BGR2GRAY);
  cv::cvtColor(grey, white, cv::COLOR_GRAY2BGR);
  const auto stripe = FindStripe(white, lens, {}, OptionsFor());
  ASSERT_TRUE(stripe);
  OwnLight own;
  own.Learn(white, lens, *stripe);
  EXPECT_FALSE(own.Weights());
}

/// A grey ring of a radius 11 % larger, brighter than the stripe: a glossy bead beside the light. Of known
/// radius, the ring that is nearest to it counts.
TEST(FindStripe, ABrightBeadNearbyIsNotTakenForADimStripe) {
  const auto lens = SmallLens();
  cv::Mat3b image = PaintedRing(lens, 0, 0.35F, false);
  for (int v = 0; v < image.rows; ++v)
    for (int u = 0; u < image.cols; ++u) {
      const auto ray = lens.Ray({u, v});
      if (!ray || ray->head<2>().norm() < 0.2) continue;
      if (std::abs(kRadius_mm * ray->z() / ray->head<2>().norm() - 0.9 * kDistance_mm) < 0.5)
        image(v, u) = cv::Vec3b(200, 200, 200);
    }
  const auto stripe = FindStripe(image, lens, {}, OptionsFor());
  ASSERT_TRUE(stripe);
  EXPECT_NEAR(stripe->radius, kRadius_mm / kDistance_mm, 0.02);
}

/// Beside a stripe on a dark wall a cubic swings below 0, which must not read as "not seen".
TEST(FindStripe, BothEdgesAreThereInItsOwnLightOnAWallThatIsDarkInIt) {
  const auto lens = SmallLens();
  StripeOptions told = OptionsFor();
  told.unmix = cv::Vec3f(-0.75F, 1.5F, -0.75F);  // B, G, R: the grey wall goes out
  cv::Mat3b image = PaintedRing(lens, 0, 0.3F, false);
  for (auto& px : image)
    if (px[1] > 0) px = cv::Vec3b(px[0] + 60, px[1] + 60, px[2] + 60);  // a bright wall: the own light is needed
  const auto stripe = FindStripe(image, lens, {}, told);
  ASSERT_TRUE(stripe);
  const auto both = std::count_if(stripe->points.begin(), stripe->points.end(),
                                  [](const StripePoint& p) { return p.has_inner() && p.has_outer(); });
  EXPECT_GT(both, 1400);
}

TEST(FindStripe, ABrokenRingIsSeenWhereItIsAndNowhereElse) {
  const auto lens = SmallLens();
  cv::Mat1b arm(lens.height_px, lens.width_px, uchar{0});
  arm(cv::Rect(0, 300, 320, 60)) = 255;
  const auto stripe = FindStripe(PaintedRing(lens, 0, 8, false), lens, arm, OptionsFor());
  ASSERT_TRUE(stripe);
  EXPECT_FALSE(stripe->points[720].has_inner() || stripe->points[720].has_outer());
  EXPECT_TRUE(stripe->points[0].has_inner() && stripe->points[0].has_outer());
}

TEST(FindStripe, NoRingIsNoAnswer) {
  const auto lens = SmallLens();
  EXPECT_FALSE(FindStripe(PaintedRing(lens, 0, 0, false), lens, {}, OptionsFor()));
}

/// White glare, three stripes wide, that begins inside the stripe and hides its outer side from 40 to 70 degrees:
/// neither edge is told there, though the inner one shows; elsewhere both are.
TEST(FindStripe, GlareThatSwallowsTheStripeGivesNoEdge) {
  const auto lens = FineLens();
  StripeOptions told = OptionsFor();
  told.unmix = cv::Vec3f(-0.75F, 1.5F, -0.75F);
  told.usual_width = FindStripe(PaintedRing(lens, 0, 0.6F, false), lens, {}, told)->width;
  cv::Mat3b image = PaintedRing(lens, 0, 0.6F, false);
  for (int v = 0; v < image.rows; ++v)
    for (int u = 0; u < image.cols; ++u) {
      const auto ray = lens.Ray({u, v});
      if (!ray || ray->head<2>().norm() < 0.2) continue;
      const double z = kRadius_mm * ray->z() / ray->head<2>().norm() - kDistance_mm,
                   azimuth = std::atan2(ray->y(), ray->x()) / bore::kRadPerDeg;
      if (azimuth > 40 && azimuth < 70 && z > -3 && z < -0.1) image(v, u) = cv::Vec3b(255, 255, 255);
    }
  const auto stripe = FindStripe(image, lens, {}, told);
  ASSERT_TRUE(stripe);
  int in_glare = 0, elsewhere = 0;
  for (std::size_t i = 0; i < stripe->points.size(); ++i) {
    const auto& p = stripe->points[i];
    const double azimuth = 360.0 * static_cast<double>(i) / static_cast<double>(stripe->points.size());
    if (azimuth > 42 && azimuth < 68) in_glare += p.has_inner() || p.has_outer();
    if (azimuth > 80 && azimuth < 350) elsewhere += p.has_inner() && p.has_outer();
  }
  EXPECT_LE(in_glare, 3);
  EXPECT_GE(elsewhere, 1050);  // of 1080
}

/// A blue stripe on a brighter grey wall: luminance (ITU-R BT.601) holds 0.11 of blue, its own channel all of it.
TEST(FindStripe, ABlueStripeIsFoundByTheBrightestColour) {
  const auto lens = FineLens();
  cv::Mat3b image = PaintedRing(lens, 0, 0.3F, false);
  for (auto& px : image) {
    if (px[1] == 0) continue;
    const double light = std::max(0.0, std::pow(px[1] / 255.0, 2.2) - 0.04);
    for (int k = 0; k < 3; ++k)
      px[k] = cv::saturate_cast<uchar>(255 * std::pow(0.09 + (k == 0 ? light : 0.1 * light), 1 / 2.2));
  }
  StripeOptions options = OptionsFor();
  const auto by_luminance = FindStripe(image, lens, {}, options);
  EXPECT_TRUE(!by_luminance || by_luminance->found_share < 0.5) << "luminance would do: this tests nothing";
  options.by_brightest = true;
  const auto stripe = FindStripe(image, lens, {}, options);
  ASSERT_TRUE(stripe);
  EXPECT_GT(stripe->found_share, 0.95);
  EXPECT_NEAR(Bias(stripe), 0, 0.05);
}

/// Nine frames of a camera that drifts evenly; in two of them another ring was taken, in one of these of nearly its
/// size.
TEST(EvenCircles, ARingElsewhereDoesNotMoveThem) {
  std::vector<std::optional<Stripe>> found(9);
  const auto centre = [](double i) { return Eigen::Vector2d(0.01 + 0.002 * i, -0.004 * i); };
  for (std::size_t i = 0; i < 9; ++i) {
    found[i].emplace();
    found[i]->centre = centre(static_cast<double>(i)), found[i]->radius = 1.4;
  }
  found[2]->radius = 1.5, found[2]->centre.x() += 0.2;
  found[6]->centre.y() += 0.1;
  found[4].reset();
  const auto even = EvenCircles(found, 1.4, 0.01, StripeTraceOptions().fewest_even);
  for (std::size_t i = 0; i < 9; ++i) {
    ASSERT_TRUE(even[i]) << i;
    EXPECT_LT((even[i]->centre - centre(static_cast<double>(i))).norm(), 1e-9) << i;
  }
  found.resize(4);
  EXPECT_FALSE(EvenCircles(found, 1.4, 0.01, StripeTraceOptions().fewest_even).front())
      << "three frames give a line any slope";
}

/// A brighter ring that lies off to one side is taken for the stripe, unless other frames tell where that is.
TEST(FindStripe, WhereOtherFramesPutTheCircleIsKept) {
  const auto lens = SmallLens();
  cv::Mat3b image = PaintedRing(lens, 0, 0.12F, false);
  const cv::Mat3b other = PaintedRing(lens, 4, 8, false);
  image = cv::Mat(cv::max(cv::Mat(image), cv::Mat(other)));
  StripeOptions options = OptionsFor();
  const auto lone = FindStripe(image, lens, {}, options);
  ASSERT_TRUE(lone);
  EXPECT_GT(lone->centre.norm(), 0.06) << "the other ring is not taken: this tests nothing";
  options.known = StripeCircle{{0, 0}, kRadius_mm / kDistance_mm};
  const auto stripe = FindStripe(image, lens, {}, options);
  ASSERT_TRUE(stripe);
  EXPECT_LT(stripe->centre.norm(), 1e-9);
}

// A plane turned by 2 degrees about y: at x = +50 the plane lies further by 50 tan 2 deg, by hand.
TEST(LightPlane, ATiltedPlaneIsCutExactly) {
  LightPlane plane;
  plane.distance_mm = 45;
  plane.tilt_y_deg = -2;
  const Eigen::Vector3d at = plane.PointAt({1, 0});
  EXPECT_NEAR(at.z(), 45 + at.x() * std::tan(2 * bore::kRadPerDeg), 1e-9);
  EXPECT_NEAR(at.x(), at.z(), 1e-12);
}

}  // namespace
}  // namespace vision::relief
