#pragma once

#include <Eigen/Core>
#include <array>
#include <vector>

#include "vision/base/result.h"
#include "vision/camera/lens.h"

/// Fitting a lens and the poses of a flat board to corners seen in pictures.
namespace vision::camera {

/// Where the board stood: x_cam = rotation * x_board + translation.
struct CamFromBoard {
  std::array<double, 3> angle_axis_rad{};
  std::array<double, 3> translation_mm{};
};

/// One picture's corners, in the order of the board's points.
struct BoardView {
  std::string name;  ///< For messages: the picture's file name.
  std::vector<Eigen::Vector2d> corners_px;
};

struct LensFit {
  Lens lens;  ///< max_angle_deg: the largest angle from the axis at which a corner was seen.
  std::vector<CamFromBoard> poses;
  std::vector<double> view_rms_px;         ///< Per view, root of the mean squared distance (OpenCV's convention).
  std::vector<double> view_max_angle_deg;  ///< Per view.
  std::vector<std::vector<Eigen::Vector2d>> view_off_px;  ///< Per view and corner: as found less as the lens shows it.
  double rms_px = 0;                                      ///< Over all corners.
  double middle_px = 0;    ///< Scale in the middle of the picture, px per rad: f, or f / (1 + xi) for omni.
  double middle_u_px = 0;  ///< Its standard uncertainty from the fit's covariance and its residuals.
  double centre_u_px = 0;  ///< The same of cx and cy, the larger.
  int parameters = 0;      ///< Free numbers of the lens.
};

/// Source: not noted, so taken as chosen; where a field says none.
struct LensFitOptions {
  bool square_pixels = true;  ///< Keep fx = fy.
  double huber_px = 0;        ///< > 0: corners farther off than this pull less; 0: plain least squares.
  bool covariance = false;    ///< Work out middle_u_px and centre_u_px; a fit that leaves them open then fails.
};

/// A rough lens and poses, with no earlier knowledge but the picture's size: equidistant lenses of many focal lengths
/// and several centres are tried; each gives a ray per corner, rays and board give the pose by the direct linear
/// transform on directions (which holds beyond 90 degrees, where a plane of view does not exist).
/// @return kNotFound when no lens gives poses.
Result<LensFit> StartLens(const std::vector<BoardView>& views, const std::vector<Eigen::Vector2d>& board_mm,
                          int width_px, int height_px);

/// Least squares on lens and all poses (Ceres, derivatives by dual numbers through ProjectThrough).
/// @param start Its lens.model is fitted; lens numbers and poses are the start.
/// @return kNotFound when the model cannot show the corners from this start, or the views leave the lens open.
Result<LensFit> RefineLens(const LensFit& start, const std::vector<BoardView>& views,
                           const std::vector<Eigen::Vector2d>& board_mm, const LensFitOptions& options);

/// The same poses seen through another model whose middle of the picture agrees with `from` (a start for RefineLens).
LensFit AsModel(const LensFit& from, LensModel model);

}  // namespace vision::camera
