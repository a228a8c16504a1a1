#include "tests/viewer/board_pictures.h"

#include <Eigen/Geometry>
#include <cmath>
#include <opencv2/imgcodecs.hpp>

namespace viewer_test {
namespace {

// fixtures/demo/joint.json, camera "head".
constexpr double kFocal = 345.6, kCx = 639.5, kCy = 479.5, kRad = M_PI / 180;
constexpr int kWidth = 1280, kHeight = 960, kSights = 3;

/// The board's grey at a place, mm; inner corners at multiples of 10 from (0, 0) to (80, 50).
double Grey(double x, double y) {
  if (x < -16 || y < -16 || x > 96 || y > 66) return 90;
  if (x < -10 || y < -10 || x > 90 || y > 60) return 235;
  return (static_cast<int>(std::floor(x / 10) + std::floor(y / 10)) & 1) != 0 ? 30 : 235;
}

struct Stand {
  double off_deg, around_deg, away_mm, tilt_x_deg, tilt_y_deg;
};

double Sight(double u, double v, const Eigen::Matrix3d& board, const Eigen::Vector3d& middle) {
  const double x = u - kCx, y = v - kCy, r = std::hypot(x, y), a = r / kFocal;
  if (a > 88 * kRad || r == 0) return 0;
  const Eigen::Vector3d ray(std::sin(a) * x / r, std::sin(a) * y / r, std::cos(a));
  const double along = board.col(2).dot(ray);
  const double s = board.col(2).dot(middle) / along;
  if (std::abs(along) < 1e-9 || s <= 0) return 90;
  const Eigen::Vector3d on = board.transpose() * (s * ray - middle);
  return Grey(on.x() + 40, on.y() + 25);
}

cv::Mat1b Photograph(const Stand& stand) {
  const double off = stand.off_deg * kRad, around = stand.around_deg * kRad;
  const Eigen::Vector3d axis(std::sin(off) * std::cos(around), std::sin(off) * std::sin(around), std::cos(off));
  const Eigen::Matrix3d board = Eigen::Quaterniond::FromTwoVectors(Eigen::Vector3d::UnitZ(), axis).toRotationMatrix() *
                                (Eigen::AngleAxisd(stand.tilt_x_deg * kRad, Eigen::Vector3d::UnitX()) *
                                 Eigen::AngleAxisd(stand.tilt_y_deg * kRad, Eigen::Vector3d::UnitY()))
                                    .toRotationMatrix();
  cv::Mat1b picture(kHeight, kWidth);
  for (int v = 0; v < kHeight; ++v)
    for (int u = 0; u < kWidth; ++u) {
      double sum = 0;
      for (int k = 0; k < kSights * kSights; ++k)
        sum += Sight(u + (k % kSights + 0.5) / kSights - 0.5, v + (k / kSights + 0.5) / kSights - 0.5, board,
                     axis * stand.away_mm);
      picture(v, u) = static_cast<uchar>(sum / (kSights * kSights) + 0.5);
    }
  return picture;
}

}  // namespace

bool WriteBoardPictures(const std::filesystem::path& folder) {
  std::filesystem::create_directories(folder);
  const Stand stands[] = {{0, 0, 70, 5, 5},      {0, 0, 60, 30, -20},    {30, 0, 60, -10, 25},  {32, 90, 60, 25, 10},
                          {30, 180, 60, 15, 20}, {32, 270, 60, -25, 10}, {50, 0, 70, 10, -30},  {50, 180, 70, 10, 30},
                          {45, 45, 70, 20, 0},   {45, 135, 70, -20, 0},  {45, 225, 70, 20, 10}, {45, 315, 70, -20, 10}};
  int number = 0;
  for (const Stand& stand : stands)
    if (!cv::imwrite((folder / ("board_" + std::to_string(10 + number++) + ".png")).string(), Photograph(stand)))
      return false;
  return true;
}

}  // namespace viewer_test
