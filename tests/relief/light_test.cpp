#include "vision/relief/light.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <random>

#include "vision/bore/angle.h"
#include "vision/relief/light_solve.h"
#include "vision/relief/light_stripe.h"
#include "vision/relief/light_track.h"

namespace vision::relief {
namespace {

constexpr double kRadius_mm = 60, kDistance_mm = 45;

camera::Lens SmallLens() {
  camera::Lens lens;
  lens.width_px = 640;
  lens.height_px = 640;
  lens.fx_px = lens.fy_px = 230;
  lens.cx_px = lens.cy_px = 319.5;
  lens.max_angle_deg = 78;
  return lens;
}

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

// A plane turned by 2 degrees about y: at x = +50 the plane lies further by 50 tan 2 deg, by hand.
TEST(LightPlane, ATiltedPlaneIsCutExactly) {
  LightPlane plane;
  plane.distance_mm = 45;
  plane.tilt_y_deg = -2;
  const Eigen::Vector3d at = plane.PointAt({1, 0});
  EXPECT_NEAR(at.z(), 45 + at.x() * std::tan(2 * bore::kRadPerDeg), 1e-9);
  EXPECT_NEAR(at.x(), at.z(), 1e-12);
}

/// Seven frames 2 mm apart that see 240 places of the wall, and the stripe on both walls; noise as stated.
PathProblem MadeUpPush(const pose::FrameSetting& setting, unsigned seed, std::vector<bore::BoreFromCam>* truth) {
  std::mt19937 random(seed);
  std::normal_distribution<double> normal;
  PathProblem problem;
  problem.bore = {kRadius_mm, 0.02};
  problem.plane = {kDistance_mm + 0.05, 0, 0, 0.1, 0.1};
  truth->clear();
  for (int i = 0; i < 7; ++i) {
    bore::BoreFromCam pose;
    pose.rotation = (Eigen::AngleAxisd(0.02, Eigen::Vector3d::UnitX()) *
                     Eigen::AngleAxisd(-0.015 + 0.001 * i, Eigen::Vector3d::UnitY()))
                        .toRotationMatrix();
    pose.translation_mm << 1 + 0.1 * i, -0.5 + 0.05 * normal(random), -51 + 2 * i;
    truth->push_back(pose);
    problem.poses.push_back(pose);
    problem.settings.push_back(&setting);
    if (i > 0)
      problem.poses.back().translation_mm += 0.3 * Eigen::Vector3d(normal(random), normal(random), normal(random));
  }
  for (int k = 0; k < 240; ++k) {
    const bore::BorePoint place{1.5 * k, k % 2 == 0 ? -20.0 - k % 17 : 6.0 + k % 23, k % 2 == 0 ? 0.0 : 0.25};
    DrawingPoint point{place.theta_deg, place.z_mm, {}};
    for (int i = 0; i < 7; ++i) {
      const auto& pose = (*truth)[static_cast<std::size_t>(i)];
      const auto pixel = setting.lens.Project(pose.CamFromBore(bore::XyzFromBore(place, kRadius_mm)));
      if (pixel) point.sights.push_back({i, *pixel + 0.12 * Eigen::Vector2d(normal(random), normal(random)), 0.12});
    }
    if (point.sights.size() > 1) problem.drawing.push_back(point);
  }
  for (int i : {0, 1, 5, 6})
    for (int k = 0; k < 120; ++k) {
      const bool left = i < 2;
      const auto& pose = (*truth)[static_cast<std::size_t>(i)];
      // where the plane meets the wall at this azimuth: along the plane's ray, by bisection on the radius
      const double phi = 3.0 * k * bore::kRadPerDeg, wall = kRadius_mm - (left ? 0 : 0.25) + 0.05 * normal(random);
      double from = 0.5, to = 3;
      for (int round = 0; round < 50; ++round) {
        const double slope = 0.5 * (from + to);
        const Eigen::Vector3d at =
            pose.rotation * (kDistance_mm * Eigen::Vector3d(slope * std::cos(phi), slope * std::sin(phi), 1)) +
            pose.translation_mm;
        (at.head<2>().norm() < wall ? from : to) = slope;
      }
      problem.stripe.push_back({i, from * Eigen::Vector2d(std::cos(phi), std::sin(phi)), left});
    }
  return problem;
}

// The covariance against the spread of made-up pushes (JCGM 101): a cut's error against the mean of all cuts.
TEST(SolvePath, RecoversThePushAndStatesItsUncertainty) {
  pose::FrameSetting setting;
  setting.lens = SmallLens();
  std::vector<bore::BoreFromCam> truth;
  double sum = 0, stated = 0;
  int count = 0;
  for (unsigned seed = 1; seed <= 8; ++seed) {
    const auto problem = MadeUpPush(setting, seed, &truth);
    const auto solved = SolvePath(problem);
    ASSERT_TRUE(solved.ok());
    EXPECT_NEAR(solved.value().walls.right[0], 0.25, 0.08);
    EXPECT_NEAR(solved.value().plane.distance_mm, kDistance_mm, 0.15);
    std::vector<Eigen::Vector2d> off;
    Eigen::Vector2d mean(0, 0);
    for (std::size_t i = 0; i < truth.size(); ++i) {
      const Eigen::Vector3d ahead(0, 0, kDistance_mm);
      const auto& pose = solved.value().poses[i];
      off.push_back((pose.rotation * ahead + pose.translation_mm - truth[i].rotation * ahead - truth[i].translation_mm)
                        .head<2>());
      mean += off.back() / 7;
      EXPECT_NEAR(pose.translation_mm.z() - solved.value().poses[0].translation_mm.z(), 2.0 * static_cast<double>(i),
                  0.06);
    }
    for (std::size_t i = 0; i < truth.size(); ++i) {
      sum += 0.5 * (off[i] - mean).squaredNorm();
      stated += solved.value().cut_u_mm[i] * solved.value().cut_u_mm[i];
      ++count;
    }
  }
  const double found = std::sqrt(sum / count), said = std::sqrt(stated / count);
  EXPECT_LT(found, 0.05);
  EXPECT_LT(found, 1.5 * said);   // not larger than what is said
  EXPECT_GT(found, 0.15 * said);  // `said` holds the drag of the drawing too, which is not in these made-up pushes
}

// The made-up drawing lies 0.12 px off (240 points of two unknowns in seven frames, so a little less is left), whatever
// is said of it beforehand.
TEST(SolvePath, TheDrawingsResidualIsInPixelsWhateverItsSightsWereSaidToBe) {
  pose::FrameSetting setting;
  setting.lens = SmallLens();
  std::vector<bore::BoreFromCam> truth;
  for (const double said_px : {0.09, 0.12, 0.3}) {
    auto problem = MadeUpPush(setting, 3, &truth);
    for (auto& point : problem.drawing)
      for (auto& sight : point.sights) sight.sigma_px = said_px;
    const auto solved = SolvePath(problem);
    ASSERT_TRUE(solved.ok());
    EXPECT_NEAR(solved.value().drawing_rms_px, 0.11, 0.015) << said_px;
  }
}

TEST(SolvePath, AFrameThatNothingHoldsHasNoUncertaintyAndIsNoAnswer) {
  pose::FrameSetting setting;
  setting.lens = SmallLens();
  std::vector<bore::BoreFromCam> truth;
  auto problem = MadeUpPush(setting, 3, &truth);
  for (auto& point : problem.drawing)
    std::erase_if(point.sights, [](const DrawingSight& sight) { return sight.frame == 6; });
  std::erase_if(problem.stripe, [](const StripeSight& sight) { return sight.frame == 6; });
  const auto solved = SolvePath(problem);
  ASSERT_FALSE(solved.ok());
  EXPECT_EQ(solved.error().code, ErrorCode::kNotFound);
  EXPECT_NE(solved.error().message.find("too little is seen"), std::string::npos) << solved.error().message;
}

/// A path that no push is: walls 4 mm apart, or a stripe that does not lie on the wall.
TEST(SolvePath, WhatHangsTogetherNowhereIsNotTrusted) {
  Walls walls;
  walls.right = {0.4, -0.5, 0.2};
  EXPECT_FALSE(Distrusted(walls, 0.04));
  ASSERT_TRUE(Distrusted(walls, 0.4));
  EXPECT_NE(Distrusted(walls, 0.4)->message.find("0.40 mm"), std::string::npos);
  walls.right = {1.5, 2, 1.5};  // 1.5 + 2.5 at its worst
  ASSERT_TRUE(Distrusted(walls, 0.04));
  EXPECT_NE(Distrusted(walls, 0.04)->message.find("4.0 mm"), std::string::npos);
}

/// Cells of 0.8 mm drawn at random on a bore of 51 mm (NPS 4), seen from z; the stripe 30 mm ahead is hidden.
TrackFrame DrawnWall(const pose::FrameSetting& setting, double z_mm, cv::Mat3b& image) {
  const auto& lens = setting.lens;
  image = cv::Mat3b(lens.height_px, lens.width_px, cv::Vec3b(0, 0, 0));
  TrackFrame frame{&image, &setting, cv::Mat1b(image.size(), uchar{0}), {}};
  for (int v = 0; v < image.rows; ++v)
    for (int u = 0; u < image.cols; ++u) {
      const auto ray = lens.Ray({u, v});
      if (!ray || ray->head<2>().norm() < 0.2) continue;
      const double z = 51 * ray->z() / ray->head<2>().norm();
      if (std::abs(z - 30) < 1.5) frame.hidden(v, u) = 255;
      const double x = 51 * std::atan2(ray->y(), ray->x()) / 0.8, y = (z + z_mm) / 0.8, s = x - std::floor(x),
                   t = y - std::floor(y);
      const auto cell = [&](int i, int k) {
        const auto n = static_cast<std::uint64_t>(std::floor(x) + i + 4096) * 8191 +
                       static_cast<std::uint64_t>(std::floor(y) + k + 4096);
        return static_cast<double>((n * 0x9E3779B97F4A7C15ULL >> 33) % 120);
      };
      const double grey =
          (1 - s) * ((1 - t) * cell(0, 0) + t * cell(0, 1)) + s * ((1 - t) * cell(1, 0) + t * cell(1, 1));
      image(v, u) = cv::Vec3b::all(cv::saturate_cast<uchar>(60 + grey));
    }
  return frame;
}

TEST(StepAlong, IsFoundInASmallBoreBesideTheStripe) {
  pose::FrameSetting setting{SmallLens(), pose::Looks::kPlusZ, 0, {}};
  cv::Mat3b first, second;
  const TrackFrame a = DrawnWall(setting, 0, first), b = DrawnWall(setting, 1.3, second);
  EXPECT_NEAR(StepAlong(a, b, 51, 7), 1.3, 0.1) << "its pose was taken 1.3 mm too far back: this much is to be added";
}

}  // namespace
}  // namespace vision::relief
