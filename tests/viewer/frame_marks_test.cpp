#include "app/viewer/frame_marks.h"

#include <gtest/gtest.h>

#include <Eigen/Core>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/viewer/support.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

/// The demo's first frame by the truth of the scene that it was rendered from (fixtures/demo/truth.json): camera's
/// place and turn, equidistant lens, r = f a. None of the program's own projection.
struct TrueFrame {
  Eigen::Vector3d centre;
  Eigen::Matrix3d bore_from_cam;
  double f, cx, cy, radius_mm;

  explicit TrueFrame(const nlohmann::json& truth) {
    const auto& frame = truth["frames"][0];
    for (int i = 0; i < 3; ++i) {
      centre[i] = frame["C"][static_cast<std::size_t>(i)];
      for (int k = 0; k < 3; ++k)
        bore_from_cam(i, k) = frame["Rcw"][static_cast<std::size_t>(i)][static_cast<std::size_t>(k)];
    }
    f = truth["camera"]["fx"], cx = truth["camera"]["cx"], cy = truth["camera"]["cy"], radius_mm = truth["R"];
  }
  cv::Point2d Pixel(double theta_deg, double z_mm) const {
    const double t = theta_deg * M_PI / 180;
    const Eigen::Vector3d wall(-radius_mm * std::sin(t), radius_mm * std::cos(t), z_mm);
    const Eigen::Vector3d p = bore_from_cam.transpose() * (wall - centre);
    const double across = std::hypot(p.x(), p.y()), r = f * std::atan2(across, p.z());
    return {cx + r * p.x() / across, cy + r * p.y() / across};
  }
};

double Nearest(const std::vector<FrameMarks::Line>& lines, cv::Point2d to) {
  double best = 1e9;
  for (const auto& line : lines)
    for (const auto& point : line) best = std::min(best, cv::norm(point - to));
  return best;
}

TEST(FrameMarks, ToesClockAndBordersLieWhereTheSceneHasThem) {
  const viewer_test::TemporaryFolder folder;
  const auto joint = viewer_test::WriteMeasuredDemo(folder.path());
  const auto opened = OpenMeasured(Resolve(joint).value());
  ASSERT_TRUE(opened.ok());
  const auto& reading = opened.value().reading;
  ASSERT_EQ(reading.poses[0].file, "from_a.jpg");
  const auto text = vision::ReadFileWhole(std::filesystem::path(ROOTSCROLL_SOURCE_DIR) / "fixtures/demo/truth.json");
  const TrueFrame truth(nlohmann::json::parse(text.value()));
  const FrameMarks marks = MarksOn(opened.value(), reading, 0);
  int compared = 0;
  for (double theta = 0; theta < 360; theta += 10) {
    const double z = reading.profile.left_toe_z_mm[static_cast<std::size_t>(2 * theta)];
    if (!std::isfinite(z)) continue;
    // Half a degree of the ring is 1.3 px here, and the pose is found to a pixel or two.
    EXPECT_LT(Nearest(marks.toes, truth.Pixel(theta, z)), 3) << theta;
    EXPECT_LT(Nearest(marks.borders, truth.Pixel(theta, reading.strip.z_from_mm)), 5) << theta;
    ++compared;
  }
  EXPECT_GT(compared, 30);
  ASSERT_EQ(marks.hours.size(), 4u);
  for (const auto& hour : marks.hours)
    EXPECT_LT(cv::norm(hour.at - truth.Pixel(hour.hour % 12 * 30, reading.strip.z_from_mm)), 5) << hour.hour;
}

TEST(FrameMarks, NoClockIsDrawnWhereAnglesAreRelative) {
  const viewer_test::TemporaryFolder folder;
  const auto joint = viewer_test::WriteMeasuredDemo(folder.path());
  const auto opened = OpenMeasured(Resolve(joint).value());
  ASSERT_TRUE(opened.ok());
  auto decided = opened.value().reading;
  decided.angles = "relative";
  EXPECT_TRUE(MarksOn(opened.value(), decided, 0).hours.empty());
  EXPECT_FALSE(MarksOn(opened.value(), decided, 0).toes.empty());
  EXPECT_TRUE(MarksOn(opened.value(), decided, 99).toes.empty());
}

}  // namespace
}  // namespace app::viewer
