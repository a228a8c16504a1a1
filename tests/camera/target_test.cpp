#include "vision/camera/target.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <cmath>
#include <functional>
#include <opencv2/imgproc.hpp>

namespace vision::camera {
namespace {

/// A picture of a flat target through an equidistant fisheye, whose formula is written out here (r = f * angle) and
/// not taken from the code under test. Every pixel is a mean over a grid of sights.
struct FisheyeScene {
  double f = 150, cx = 239.5, cy = 199.5;
  cv::Size size{480, 400};
  int samples = 6;  ///< Sights per pixel each way.
  Eigen::Matrix3d rotation =
      (Eigen::AngleAxisd(0.35, Eigen::Vector3d::UnitX()) * Eigen::AngleAxisd(-0.25, Eigen::Vector3d::UnitY()) *
       Eigen::AngleAxisd(0.2, Eigen::Vector3d::UnitZ()))
          .toRotationMatrix();
  Eigen::Vector3d translation{-50, -35, 75};

  Eigen::Vector2d Pixel(double x_mm, double y_mm) const {
    const Eigen::Vector3d p = rotation * Eigen::Vector3d(x_mm, y_mm, 0) + translation;
    const double across = std::hypot(p.x(), p.y()), r = f * std::atan2(across, p.z());
    return {cx + r * p.x() / across, cy + r * p.y() / across};
  }

  cv::Mat Render(const std::function<double(double, double)>& grey) const {
    cv::Mat picture(size, CV_8U);
    for (int v = 0; v < size.height; ++v)
      for (int u = 0; u < size.width; ++u) {
        double sum = 0;
        for (int k = 0; k < samples * samples; ++k)
          sum += Sight(u + (k % samples + 0.5) / samples - 0.5, v + (k / samples + 0.5) / samples - 0.5, grey);
        picture.at<uchar>(v, u) = static_cast<uchar>(sum / (samples * samples) + 0.5);
      }
    return picture;
  }

 private:
  double Sight(double u, double v, const std::function<double(double, double)>& grey) const {
    const double r = std::hypot(u - cx, v - cy), a = r / f;
    if (a > 1.5 || r == 0) return 60;
    const Eigen::Vector3d ray(std::sin(a) * (u - cx) / r, std::sin(a) * (v - cy) / r, std::cos(a));
    const Eigen::Vector3d normal = rotation.col(2);
    const double s = normal.dot(translation) / normal.dot(ray);
    if (!(s > 0)) return 60;
    const Eigen::Vector3d on_board = rotation.transpose() * (s * ray - translation);
    return grey(on_board.x(), on_board.y());
  }
};

const Board kChess{BoardKind::kChessboard, 6, 4, 20};

double ChessGrey(double x, double y) {  // inner corners at multiples of 20 mm from (0, 0) to (100, 60)
  if (x < -32 || y < -32 || x > 132 || y > 92) return 60;
  if (x < -20 || y < -20 || x > 120 || y > 80) return 230;
  return (static_cast<int>(std::floor(x / 20) + std::floor(y / 20)) & 1) ? 25 : 230;
}

/// Largest distance to the truth, whichever way round the board was read.
double WorstError(const FisheyeScene& scene, const Board& board, const std::vector<Eigen::Vector2d>& found) {
  const auto places = board.PointsMm();
  double forward = 0, backward = 0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    const Eigen::Vector2d truth = scene.Pixel(places[i].x(), places[i].y());
    forward = std::max(forward, (found[i] - truth).norm());
    backward = std::max(backward, (found[found.size() - 1 - i] - truth).norm());
  }
  return std::min(forward, backward);
}

TEST(FindBoard, FindsAChessboardBentByAFisheye) {
  const FisheyeScene scene;
  const auto found = FindBoard(scene.Render(ChessGrey), kChess);
  ASSERT_TRUE(found);
  ASSERT_EQ(found->size(), 24u);
  EXPECT_LE(WorstError(scene, kChess, *found), 0.15);  // the corners of real pictures scatter by 0.2 px
}

TEST(FindBoard, IsAsSharpWhenThePictureIsSearchedReduced) {
  FisheyeScene large;  // 3200 px wide: the finder works on a copy of three quarters, the refinement on the picture
  large.f = 1000, large.cx = 1599.5, large.cy = 1332.5, large.size = {3200, 2666}, large.samples = 2;
  const auto found = FindBoard(large.Render(ChessGrey), kChess);
  ASSERT_TRUE(found);
  EXPECT_LE(WorstError(large, kChess, *found), 0.25);
}

TEST(FindBoard, FindsDiscs) {
  const Board board{BoardKind::kCircleGrid, 6, 4, 20};
  const FisheyeScene scene;
  const auto discs = [](double x, double y) {
    if (x < -25 || y < -25 || x > 125 || y > 85) return 60.0;
    const double column = std::clamp(std::round(x / 20), 0.0, 5.0), row = std::clamp(std::round(y / 20), 0.0, 3.0);
    return std::hypot(x - 20 * column, y - 20 * row) < 5 ? 25.0 : 230.0;
  };
  const auto found = FindBoard(scene.Render(discs), board);
  ASSERT_TRUE(found);
  // A tilted disc's centroid is not its centre's picture; for 5 mm discs at 75 mm that is some tenths of a pixel.
  EXPECT_LE(WorstError(scene, board, *found), 0.5);
}

TEST(FindBoard, FindsNothingWhereThereIsNothing) {
  EXPECT_FALSE(FindBoard({}, kChess));
  EXPECT_FALSE(FindBoard(cv::Mat(1, 500, CV_8U, cv::Scalar(90)), kChess));
  EXPECT_FALSE(FindBoard(cv::Mat(300, 300, CV_8UC3, cv::Scalar(90, 80, 70)), kChess));
  EXPECT_FALSE(FindBoard(cv::Mat(300, 300, CV_32F, cv::Scalar(0.5)), kChess)) << "only 8-bit pictures";
  EXPECT_FALSE(FindBoard(FisheyeScene().Render(ChessGrey), Board{BoardKind::kChessboard, 7, 4, 20})) << "another board";
  EXPECT_FALSE(FindBoard(FisheyeScene().Render(ChessGrey), Board{})) << "a board without a size";
}

TEST(Board, PointsRunRowByRow) {
  const auto points = Board{BoardKind::kChessboard, 3, 4, 10}.PointsMm();
  ASSERT_EQ(points.size(), 12u);
  EXPECT_EQ(points[1], Eigen::Vector2d(10, 0));
  EXPECT_EQ(points[3], Eigen::Vector2d(0, 10));
  const auto offset = Board{BoardKind::kOffsetCircleGrid, 4, 11, 10}.PointsMm();  // OpenCV: ((2 j + i % 2) s, i s)
  EXPECT_EQ(offset[4], Eigen::Vector2d(10, 10));
  EXPECT_EQ(offset[5], Eigen::Vector2d(30, 10));
}

TEST(Board, CheckNamesTheField) {
  EXPECT_NE((Board{BoardKind::kChessboard, 2, 4, 10}.Check()->message.find("columns")), std::string::npos);
  EXPECT_NE((Board{BoardKind::kChessboard, 4, 51, 10}.Check()->message.find("rows")), std::string::npos);
  EXPECT_NE((Board{BoardKind::kChessboard, 4, 5, 0}.Check()->message.find("square_mm")), std::string::npos);
  EXPECT_FALSE(kChess.Check());
  for (const auto kind : {BoardKind::kChessboard, BoardKind::kCircleGrid, BoardKind::kOffsetCircleGrid})
    EXPECT_EQ(BoardKindFromName(NameOf(kind)), kind);
  EXPECT_FALSE(BoardKindFromName("dots"));
}

}  // namespace
}  // namespace vision::camera
