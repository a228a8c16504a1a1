#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <random>

#include "tests/relief/light_lens.h"
#include "vision/bore/angle.h"
#include "vision/relief/light_solve.h"
#include "vision/relief/light_track.h"

/// The camera's path of a light section, solved from the stripe and the wall's drawing.
namespace vision::relief {
namespace {

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
SweepFrame DrawnWall(const pose::FrameSetting& setting, double z_mm, cv::Mat3b& image) {
  const auto& lens = setting.lens;
  image = cv::Mat3b(lens.height_px, lens.width_px, cv::Vec3b(0, 0, 0));
  SweepFrame frame{&image, &setting, cv::Mat1b(image.size(), uchar{0}), {}};
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
  pose::FrameSetting setting{SmallLens(), pose::Facing::kPlusZ, 0, {}};
  cv::Mat3b first, second;
  const SweepFrame a = DrawnWall(setting, 0, first), b = DrawnWall(setting, 1.3, second);
  EXPECT_NEAR(StepAlong(a, b, 51, 7), 1.3, 0.1) << "its pose was taken 1.3 mm too far back: this much is to be added";
}

}  // namespace
}  // namespace vision::relief
