#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <Eigen/LU>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "fixtures/scene/render.h"
#include "fixtures/scene/scenario.h"
#include "vision/bore/angle.h"
#include "vision/unroll/unroll.h"

namespace vision::unroll {
namespace {

using fixtures::scene::PaintedMark;

constexpr double kRadius_mm = 40;

/// A letter F of discs: stem at theta 340 from z = -8 to +8, a long arm to the right at the top, a short one at z = 0.
/// Has no mirror symmetry of any kind, and crosses theta 0.
std::vector<PaintedMark> LetterF() {
  std::vector<PaintedMark> marks;
  for (const double z : {-8.0, -4.0, 0.0, 4.0, 8.0}) marks.push_back({340, z, 1});
  marks.push_back({350, -8, 1});
  marks.push_back({2, -8, 1});
  marks.push_back({350, 0, 1});
  return marks;
}

/// Where the letter has no disc though its mirror images do.
const std::vector<PaintedMark> kEmpty{{330, -8, 1}, {330, 0, 1}, {318, -8, 1}, {350, 8, 1}, {2, 8, 1}, {350, -4, 1}};

cv::Mat1b UnrolledLetter(bool plus_z, StripGrid* grid) {
  fixtures::scene::SceneOptions options;
  options.radius_mm = kRadius_mm;
  options.bead.present = false;
  options.look.marks = LetterF();
  const auto scene = fixtures::scene::Scene::Make(options).value();
  const auto lens = fixtures::scene::TypicalLens("equidistant", 560, 420).value();
  const auto pose = fixtures::scene::PoseLooking(plus_z, 4, -3, plus_z ? -35 : 35, 3, -4, plus_z ? 25 : 130);
  const auto frame = scene.Render({lens, pose, std::nullopt, 0}).value();
  *grid = StripGrid::Over(kRadius_mm, -12, 12, 0.1);
  cv::Mat grey;
  cv::cvtColor(Unroll(frame.bgr, BuildMap(lens, pose, *grid)).value().image, grey, cv::COLOR_BGR2GRAY);
  return grey;
}

/// Grey-weighted centre of what is brighter than half-way within 1.8 mm of a place; z in y, arc from theta in x, mm.
cv::Point2d Centre(const cv::Mat1b& strip, const StripGrid& grid, const PaintedMark& near, double* brightest) {
  const int half = 18, row0 = cvRound(grid.Row(near.z_mm)), column0 = cvRound(grid.Column(near.theta_deg));
  const auto grey = [&](int dy, int dx) {
    return static_cast<double>(strip(row0 + dy, (column0 + dx + grid.columns) % grid.columns));
  };
  double low = 255;
  *brightest = 0;
  for (int dy = -half; dy <= half; ++dy)
    for (int dx = -half; dx <= half; ++dx)
      low = std::min(low, grey(dy, dx)), *brightest = std::max(*brightest, grey(dy, dx));
  cv::Point2d sum;
  double weight = 0;
  for (int dy = -half; dy <= half; ++dy)
    for (int dx = -half; dx <= half; ++dx) {
      const double w = std::max(0.0, grey(dy, dx) - 0.5 * (low + *brightest));
      sum += cv::Point2d(dx, dy) * w;
      weight += w;
    }
  const double arc_pitch = bore::ArcMm(grid.theta_pitch_deg(), kRadius_mm);
  return {sum.x / weight * arc_pitch + bore::ArcMm(grid.ThetaDeg(column0) - near.theta_deg, kRadius_mm),
          sum.y / weight * grid.pitch_mm + grid.ZMm(row0) - near.z_mm};
}

class Letter : public testing::TestWithParam<bool> {};

TEST_P(Letter, LandsWhereItWasPaintedAndIsNotMirrored) {
  StripGrid grid;
  const cv::Mat1b strip = UnrolledLetter(GetParam(), &grid);
  double least = 255;
  for (const auto& mark : LetterF()) {
    double brightest = 0;
    const auto off = Centre(strip, grid, mark, &brightest);
    EXPECT_LT(std::hypot(off.x, off.y), 0.2) << "theta " << mark.theta_deg << " z " << mark.z_mm;  // half a pixel
    least = std::min(least, brightest);
  }
  for (const auto& place : kEmpty) {
    double brightest = 0;
    Centre(strip, grid, place, &brightest);
    EXPECT_LT(brightest, 0.75 * least) << "theta " << place.theta_deg << " z " << place.z_mm;
  }
}

INSTANTIATE_TEST_SUITE_P(BothWays, Letter, testing::Bool());

/// Somebody inside the pipe faces the wall at theta with the a side (-z) overhead: what do they see to the right?
TEST(SeenFromInside, ThetaGrowsToTheRightWithTheLeftToeOnTop) {
  const double theta = 340 * bore::kRadPerDeg;
  const Eigen::Vector3d forward(-std::sin(theta), std::cos(theta), 0), down(0, 0, 1), right = down.cross(forward);
  Eigen::Matrix3d rotation;
  rotation << right, down, forward;
  ASSERT_NEAR(rotation.determinant(), 1, 1e-12);  // a real camera, no mirror
  const bore::BoreFromCam facing{rotation, Eigen::Vector3d::Zero()};
  const auto grid = StripGrid::Over(kRadius_mm, -12, 12, 0.1);
  const auto from = facing.CamFromBore(bore::XyzFromBore({340, 0, 0}, kRadius_mm));
  const auto more_theta = facing.CamFromBore(bore::XyzFromBore({344, 0, 0}, kRadius_mm));
  const auto less_z = facing.CamFromBore(bore::XyzFromBore({340, -3, 0}, kRadius_mm));
  EXPECT_GT(more_theta.x(), from.x());            // x right ...
  EXPECT_GT(grid.Column(344), grid.Column(340));  // ... and right in the strip
  EXPECT_LT(less_z.y(), from.y());                // y down ...
  EXPECT_LT(grid.Row(-3), grid.Row(0));           // ... and up in the strip
}

}  // namespace
}  // namespace vision::unroll
