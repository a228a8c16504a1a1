#include "vision/match/align.h"

#include <gtest/gtest.h>

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"

namespace vision::match {
namespace {

/// A wall drawn from a seeded field of blotches, then sampled where `shift` says, so that the truth is exact.
unroll::Strip Wall(int seed, double radius_mm, double (*z_mm)(double theta_deg, double z_mm), double arc_mm) {
  unroll::Strip strip;
  strip.grid = unroll::StripGrid::Over(radius_mm, -17.7, 17.7);
  const int margin = 100;
  cv::Mat1f field(strip.grid.rows + 2 * margin, strip.grid.columns);
  cv::RNG random(static_cast<std::uint64_t>(seed));
  random.fill(field, cv::RNG::NORMAL, 0, 1);
  cv::copyMakeBorder(field, field, 0, 0, margin, margin, cv::BORDER_WRAP);
  cv::GaussianBlur(field, field, {}, 6);
  cv::normalize(field, field, 70, 170, cv::NORM_MINMAX);
  cv::Mat2f map(strip.grid.rows, strip.grid.columns);
  for (int row = 0; row < map.rows; ++row)
    for (int column = 0; column < map.cols; ++column) {
      const double dz = z_mm(strip.grid.ThetaDeg(column), strip.grid.ZMm(row));
      map(row, column) = {static_cast<float>(column + margin - arc_mm / strip.grid.pitch_mm),
                          static_cast<float>(row + margin - dz / strip.grid.pitch_mm)};
    }
  cv::Mat1f drawn;
  cv::remap(field, drawn, map, cv::noArray(), cv::INTER_CUBIC);
  cv::Mat1b grey;
  drawn.convertTo(grey, CV_8U);
  cv::cvtColor(grey, strip.image, cv::COLOR_GRAY2BGR);
  strip.valid = cv::Mat1b(grey.size(), uchar{255});
  strip.clipped = cv::Mat1b(grey.size(), uchar{0});
  strip.source_px = cv::Mat2f(grey.size(), cv::Vec2f(0, 0));
  strip.source_frame = cv::Mat1s(grey.size(), short{0});
  strip.resolution_z_mm = cv::Mat1f(grey.size(), 0.2F);
  strip.resolution_arc_mm = cv::Mat1f(grey.size(), 0.2F);
  return strip;
}

double Still(double, double) { return 0; }
double Leaning(double theta_deg, double) { return 0.8 + 1.1 * std::cos(theta_deg * bore::kRadPerDeg); }
double Stepped(double, double z_mm) { return z_mm < 0 ? 0.3 : -0.2; }

TEST(Align, FindsAShiftThatVariesAroundTheBore) {
  const auto alignment = Align(Wall(1, 50, Still, 0), Wall(1, 50, Leaning, 0.9));
  ASSERT_TRUE(alignment.ok()) << alignment.error().message;
  for (double theta_deg : {0.0, 60.0, 180.0, 300.0}) {
    EXPECT_NEAR(alignment.value().Z(theta_deg), Leaning(theta_deg, 0), 0.03) << theta_deg;
    EXPECT_NEAR(alignment.value().arc_mm.At(theta_deg), 0.9, 0.03) << theta_deg;
    EXPECT_NEAR(alignment.value().Step(theta_deg), 0, 0.03) << theta_deg;
  }
}

TEST(Align, TellsTheTwoWallsApart) {
  const auto alignment = Align(Wall(2, 50, Still, 0), Wall(2, 50, Stepped, 0));
  ASSERT_TRUE(alignment.ok());
  EXPECT_NEAR(alignment.value().Step(90), 0.5, 0.03);  // 0.3 on the left wall, -0.2 on the right
  EXPECT_NEAR(alignment.value().Z(90), 0.05, 0.03);
}

TEST(Align, RefusesAnotherWall) {
  const auto alignment = Align(Wall(3, 50, Still, 0), Wall(4, 50, Still, 0));
  ASSERT_FALSE(alignment.ok());
  EXPECT_EQ(alignment.error().code, ErrorCode::kNotFound);
  EXPECT_NE(alignment.error().message.find("do not match"), std::string::npos);
}

TEST(Shifted, LaysTheMovingStripOnTheFixedOne) {
  const auto fixed = Wall(5, 50, Still, 0), moving = Wall(5, 50, Leaning, 0.9);
  const auto alignment = Align(fixed, moving);
  ASSERT_TRUE(alignment.ok());
  const auto laid = Shifted(moving, alignment.value());
  const cv::Rect inside(50, 40, fixed.grid.columns - 100, fixed.grid.rows - 80);
  const double before = cv::norm(moving.image(inside), fixed.image(inside), cv::NORM_L1);
  const double after = cv::norm(laid.image(inside), fixed.image(inside), cv::NORM_L1);
  EXPECT_LT(after, 0.2 * before);
}

}  // namespace
}  // namespace vision::match
