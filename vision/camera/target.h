#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"

/// Flat calibration targets and finding them in pictures. Board frame: x along a row, y along a column, z = 0, mm.
namespace vision::camera {

enum class BoardKind {
  kChessboard,        ///< Inner corners of a chessboard (a board of 7 x 5 squares has 6 x 4 of them).
  kCircleGrid,        ///< Dark discs on a square lattice.
  kOffsetCircleGrid,  ///< Dark discs, every other row shifted by half a step (OpenCV's asymmetric grid).
};

/// @return chessboard | circles | offset_circles
std::string NameOf(BoardKind kind);
std::optional<BoardKind> BoardKindFromName(const std::string& name);

struct Board {
  BoardKind kind = BoardKind::kChessboard;
  int columns = 0;       ///< Points per row, 3 to 50. Must be set.
  int rows = 0;          ///< Rows of points, 3 to 50. Must be set.
  double square_mm = 0;  ///< Side of a square, or the step between discs (offset grid: half the step in a row). > 0.

  /// First broken constraint, naming the field.
  [[nodiscard]] Status Check() const;

  /// The points in the order in which FindBoard gives them: row by row.
  std::vector<Eigen::Vector2d> PointsMm() const;

  /// For people: "chessboard, 6 x 4 inner corners, 25 mm".
  std::string Text() const;
};

/// Sub-pixel places of the board's points, row by row (a board that looks the same turned by 180 degrees may come
/// back so; for a calibration that is no difference). Tries the sector-based finder first, which copes with the bent
/// squares of a full-circle fisheye picture, then the classic one at several scales; corners are refined by their grey
/// gradients in a window of 0.3 of the smallest spacing, so that it holds one corner only. Pictures wider or higher
/// than 2400 px are searched reduced and refined at full size.
/// @param picture 8-bit grey or BGR.
/// @return nullopt when the whole board is not found.
std::optional<std::vector<Eigen::Vector2d>> FindBoard(const cv::Mat& picture, const Board& board);

}  // namespace vision::camera
