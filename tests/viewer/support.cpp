#include "tests/viewer/support.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "app/viewer/commands.h"
#include "vision/base/file.h"
#include "vision/base/says.h"
#include "vision/reading/measure.h"

namespace viewer_test {
namespace fs = std::filesystem;
using vision::reading::Fusion;

TemporaryFolder::TemporaryFolder() {
  static int count = 0;
  path_ = fs::temp_directory_path() / ("viewer-" + std::to_string(::getpid()) + "-" + std::to_string(++count));
  fs::create_directories(path_);
}

TemporaryFolder::~TemporaryFolder() {
  std::error_code ignored;
  fs::remove_all(path_, ignored);
}

vision::reading::Reading MadeUpReading(int columns, int rows) {
  vision::reading::Reading r;
  r.program_version = ROOTSCROLL_VERSION, r.joint_id = "LX-114", r.recordings = {"root"}, r.stage = "root";
  r.bore_radius_mm = columns * 0.1 / (2 * std::numbers::pi);
  r.bore_radius_u_mm = 0.03;
  r.read_by = "strip_reader 0 (sha256 of nothing)";
  r.weld_found = true, r.z_zero = "mean of both toes";
  r.piece_a = "spool 7-3 end", r.piece_b = "elbow 7-4 end";
  r.profile.Resize(720);
  for (std::size_t i = 0; i < 720; ++i) {
    r.profile.left_toe_z_mm[i] = -2.5, r.profile.right_toe_z_mm[i] = 2.5;
    r.profile.left_toe_u_mm[i] = r.profile.right_toe_u_mm[i] = 0.3;
    r.profile.width_mm[i] = 5, r.profile.width_u_mm[i] = 0.25;
    r.profile.fusion_left[i] = i >= 400 && i < 460 ? Fusion::kUnfused : Fusion::kFused;
    r.profile.unfused_left_chance[i] = i >= 400 && i < 460 ? 0.8 : 0.02;
    r.profile.fusion_right[i] = i < 100 ? Fusion::kNotVisible : Fusion::kFused;
  }
  r.unfused.push_back({200, 230, "left", 0.8, 30 * r.bore_radius_mm * std::numbers::pi / 180, 0.6, ""});
  for (const char* what : {"crown_height_mm", "concavity_mm", "misalignment_mm"})
    r.why.push_back({what, 0, 360, {vision::Says::kSingleView}});
  r.coverage_deg = {360, 310, 360};
  r.strip = {"strip.png", "strip_seen.png", columns, rows, 360.0 / columns, 0.1, -0.05 * (rows - 1), 0.3};
  return r;
}

fs::path WriteMadeUpJoint(const fs::path& folder, int columns, int rows) {
  const fs::path demo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo" / "joint.json";
  const auto text = vision::ReadFileWhole(demo);
  EXPECT_TRUE(text.ok());
  EXPECT_FALSE(vision::WriteFileWhole(folder / "joint.json", text.value()));
  vision::reading::Measured measured{MadeUpReading(columns, rows), {}};
  cv::Mat small(rows / 4 + 1, columns / 4 + 1, CV_8UC3), strip;
  cv::RNG random(5);
  random.fill(small, cv::RNG::UNIFORM, 60, 200);
  cv::resize(small, strip, {columns, rows}, 0, 0, cv::INTER_LINEAR);
  cv::Mat seen(rows, columns, CV_8U, cv::Scalar(255));
  seen(cv::Rect(0, 0, columns / 10, rows / 5)).setTo(0);
  measured.pictures = {{"strip.png", strip}, {"strip_seen.png", seen}};
  EXPECT_FALSE(vision::reading::WriteMeasured(measured, folder / "measured"));
  return folder / "joint.json";
}

namespace {
/// The demo, measured once a process: that takes some ten seconds, and each test only changes its own copy.
const fs::path& MeasuredDemo() {
  static const TemporaryFolder folder;
  static const bool made = [] {
    const fs::path demo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo";
    for (const char* name : {"from_a.jpg", "from_b.jpg", "push.avi", "joint.json"})
      fs::copy(demo / name, folder.path() / name);
    auto joint = app::joint::LoadJoint(folder.path() / "joint.json");
    EXPECT_TRUE(joint.ok());
    const auto failed = app::viewer::MeasureInto(joint.value(), folder.path() / "measured");
    EXPECT_FALSE(failed) << failed->message;
    return true;
  }();
  EXPECT_TRUE(made);
  return folder.path();
}
}  // namespace

fs::path WriteMeasuredDemo(const fs::path& folder) {
  fs::copy(MeasuredDemo(), folder, fs::copy_options::recursive);
  return folder / "joint.json";
}

fs::path WriteBandedJoint(const fs::path& folder, int columns, int rows, double z_mm) {
  const auto joint = WriteMadeUpJoint(folder, columns, rows);
  const std::string strip = (folder / "measured" / "strip.png").string();
  cv::Mat3b picture = cv::imread(strip, cv::IMREAD_COLOR);
  const int row = static_cast<int>(std::lround((z_mm + 0.05 * (rows - 1)) / 0.1));  // z of row 0: -0.05 (rows - 1)
  picture.rowRange(row - 10, row + 11).setTo(cv::Vec3b(255, 0, 255));
  EXPECT_TRUE(cv::imwrite(strip, picture));
  return joint;
}

double BandY(app::viewer::PageView& page, int x) {
  const QImage shown = page.grab().toImage();
  double sum = 0;
  int count = 0;
  const auto line = page.layout_of_page().StripRect(0);
  for (int y = static_cast<int>(line.y); y < line.y + line.height; ++y) {
    const QColor c = shown.pixelColor(x, y);
    if (c.red() > 200 && c.blue() > 200 && c.green() < 80) sum += y + 0.5, ++count;
  }
  return count > 0 ? sum / count : NAN;
}

vision::Status SetToe(app::viewer::Desk& desk, std::vector<app::notes::Place> points, const std::string& reason) {
  auto toe = app::viewer::ToeDrawn(desk, std::move(points));
  if (!toe.ok()) return toe.error();
  toe.value().reason = reason;
  return app::viewer::MoveToe(desk, toe.value());
}

}  // namespace viewer_test
