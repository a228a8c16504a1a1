#include "vision/camera/target.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <limits>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>

namespace vision::camera {
namespace {

using Points = std::vector<cv::Point2f>;

cv::Mat Scaled(const cv::Mat& grey, double scale) {
  if (scale == 1.0) return grey;
  cv::Mat scaled;
  cv::resize(grey, scaled, {}, scale, scale, scale < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
  return scaled;
}

/// Back to the full picture; cv::resize keeps picture edges, and pixel centres are integers.
void Unscale(Points& points, double scale) {
  for (auto& p : points) {
    p.x = static_cast<float>((p.x + 0.5) / scale - 0.5);
    p.y = static_cast<float>((p.y + 0.5) / scale - 0.5);
  }
}

/// Smallest distance between neighbours along rows and columns, px.
double Spacing(const Points& points, int columns) {
  const auto step = static_cast<std::size_t>(columns);
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < points.size(); ++i) {
    if ((i + 1) % step != 0) least = std::min(least, cv::norm(points[i + 1] - points[i]));
    if (i + step < points.size()) least = std::min(least, cv::norm(points[i + step] - points[i]));
  }
  return least;
}

/// The window must hold one corner only, also where the fisheye squeezes the squares.
void RefineCorners(const cv::Mat& grey, int columns, Points& points) {
  const int half = static_cast<int>(std::clamp(0.3 * Spacing(points, columns), 2.0, 11.0));
  cv::cornerSubPix(grey, points, {half, half}, {-1, -1}, {cv::TermCriteria::EPS | cv::TermCriteria::COUNT, 100, 1e-3});
}

bool FindChessboard(const cv::Mat& grey, const Board& board, Points& points) {
  const cv::Size size(board.columns, board.rows);
  const double reduce = std::min(1.0, 2400.0 / std::max(grey.cols, grey.rows));
  const cv::Mat searched = Scaled(grey, reduce);
  for (const int flags : {0, cv::CALIB_CB_EXHAUSTIVE | cv::CALIB_CB_ACCURACY})
    if (cv::findChessboardCornersSB(searched, size, points, flags)) {
      Unscale(points, reduce);
      RefineCorners(grey, board.columns, points);
      return true;
    }
  for (const double scale : {1.0, 2.0, 0.5}) {
    if (scale > 1 && std::max(searched.cols, searched.rows) > 1600) continue;
    const cv::Mat scaled = Scaled(searched, scale);
    if (!cv::findChessboardCorners(scaled, size, points, cv::CALIB_CB_ADAPTIVE_THRESH | cv::CALIB_CB_NORMALIZE_IMAGE))
      continue;
    Unscale(points, scale * reduce);
    RefineCorners(grey, board.columns, points);
    return true;
  }
  return false;
}

bool FindCircles(const cv::Mat& grey, const Board& board, Points& points) {
  const int layout = board.kind == BoardKind::kCircleGrid ? cv::CALIB_CB_SYMMETRIC_GRID : cv::CALIB_CB_ASYMMETRIC_GRID;
  const double reduce = std::min(1.0, 2400.0 / std::max(grey.cols, grey.rows));
  for (const double scale : {1.0, 2.0, 0.5})
    for (const int clustering : {0, static_cast<int>(cv::CALIB_CB_CLUSTERING)}) {
      if (scale > 1 && std::max(grey.cols, grey.rows) > 1600) continue;
      const cv::Mat scaled = Scaled(grey, scale * reduce);
      if (!cv::findCirclesGrid(scaled, {board.columns, board.rows}, points, layout | clustering)) continue;
      Unscale(points, scale * reduce);
      return true;
    }
  return false;
}

constexpr std::array<const char*, 3> kNames{"chessboard", "circles", "offset_circles"};

}  // namespace

std::string NameOf(BoardKind kind) { return kNames[static_cast<std::size_t>(kind)]; }

std::optional<BoardKind> BoardKindFromName(const std::string& name) {
  for (std::size_t i = 0; i < kNames.size(); ++i)
    if (name == kNames[i]) return static_cast<BoardKind>(i);
  return std::nullopt;
}

Status Board::Check() const {
  const auto broken = [](const std::string& field, const std::string& rule) {
    return BadInput("board: " + field + "; it must be " + rule + ".");
  };
  if (columns < 3 || columns > 50) return broken("columns is " + std::to_string(columns), "3 to 50 points");
  if (rows < 3 || rows > 50) return broken("rows is " + std::to_string(rows), "3 to 50 points");
  if (!(square_mm > 0 && square_mm < 1e4)) return broken("square_mm is " + std::to_string(square_mm), "> 0 mm");
  return std::nullopt;
}

std::vector<Eigen::Vector2d> Board::PointsMm() const {
  std::vector<Eigen::Vector2d> points;
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      const int along = kind == BoardKind::kOffsetCircleGrid ? 2 * column + row % 2 : column;
      points.emplace_back(along * square_mm, row * square_mm);
    }
  return points;
}

std::string Board::Text() const {
  char size[64];
  std::snprintf(size, sizeof size, ", %d x %d %s, %g mm", columns, rows,
                kind == BoardKind::kChessboard ? "inner corners" : "discs", square_mm);
  return (kind == BoardKind::kChessboard   ? "chessboard"
          : kind == BoardKind::kCircleGrid ? "circle grid"
                                           : "offset circle grid") +
         std::string(size);
}

std::optional<std::vector<Eigen::Vector2d>> FindBoard(const cv::Mat& picture, const Board& board) {
  if (board.Check() || picture.empty() || picture.depth() != CV_8U) return std::nullopt;
  cv::Mat grey = picture;
  if (picture.channels() == 3) cv::cvtColor(picture, grey, cv::COLOR_BGR2GRAY);
  if (picture.channels() == 4) cv::cvtColor(picture, grey, cv::COLOR_BGRA2GRAY);
  Points points;
  try {
    const bool found =
        board.kind == BoardKind::kChessboard ? FindChessboard(grey, board, points) : FindCircles(grey, board, points);
    if (!found || points.size() != static_cast<std::size_t>(board.columns * board.rows)) return std::nullopt;
  } catch (const cv::Exception&) {
    return std::nullopt;  // OpenCV's finders throw on some pictures in which there is no board
  }
  std::vector<Eigen::Vector2d> out;
  for (const auto& p : points) out.emplace_back(p.x, p.y);
  return out;
}

}  // namespace vision::camera
