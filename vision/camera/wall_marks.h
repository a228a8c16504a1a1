#pragma once

#include <Eigen/Core>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/camera/calibrate.h"
#include "vision/camera/lens.h"

/// A lens without a board: from pictures looking along a pipe of known bore whose wall carries marks at known distances
/// along it, such as two scribed rings or a taped ruler.
namespace vision::camera {

/// The pipe and its marks. Only the ratio of the two lengths shows in pictures, so their relative uncertainties add.
struct WallTarget {
  double bore_mm = 0;     ///< Inside diameter at the marks, > 0. Must be set.
  double bore_u_mm = 0;   ///< Its standard uncertainty (k = 1), > 0. Must be set: a known bore was measured somehow.
  double apart_mm = 0;    ///< From the first to the last mark along the pipe, > 0. Must be set.
  double apart_u_mm = 0;  ///< Its standard uncertainty (k = 1), lean of the rings included, > 0. Must be set.

  /// First broken constraint, naming the field.
  [[nodiscard]] Status Check() const;

  /// For people: "marks 40 mm apart (u 0.1 mm) in a bore of 154.08 mm (u 0.05 mm)".
  std::string Text() const;
};

/// A point that a person set on a mark.
struct MarkedPoint {
  double along_mm = 0;  ///< Place of its mark along the pipe, from any zero, in either direction.
  Eigen::Vector2d px = Eigen::Vector2d::Zero();
};

struct MarkedView {
  std::string name;  ///< For messages: the picture's file name.
  std::vector<MarkedPoint> points;
};

struct WallOptions {
  WallTarget target;
  int min_views = 3;  ///< Pictures from different distances; >= 2. Chosen.
  /// Points in a picture; >= 6: five numbers of its pose come from them. Chosen.
  int min_points = 8;
  /// Least standard uncertainty of a set point, px; > 0. Points that agree worse count as worse. Chosen.
  double point_px = 0.3;
  double centre_share = 0.02;  ///< How far the optical centre may lie from the picture's middle (k = 1), as a share of
                               ///< its width, > 0. Common practice, no source.
  double evidence = 10;        ///< As CalibrationOptions::evidence.
  double max_sight_u_deg = 1;  ///< A lens whose sights stay more uncertain (k = 1) is refused; > 0. Chosen.

  /// First broken constraint, naming the field.
  [[nodiscard]] Status Check() const;
};

struct WallCalibration {
  Lens lens;                              ///< max_angle_deg: the largest angle at which a point was set.
  double rms_px = 0;                      ///< Of the points from their marks' pictures.
  double middle_px = 0, middle_u_px = 0;  ///< Scale in the middle of the picture, px per rad, and its u (k = 1).
  double centre_u_px = 0;                 ///< Standard uncertainty of cx and cy, the larger.
  double seen_from_deg = 0;               ///< Smallest angle from the axis at which a point was set.
  double sight_u_deg = 0;                 ///< Largest standard uncertainty of a sight's angle from the axis between
                                          ///< those two angles: points, lengths and choice of model together.
  WallTarget target;
  std::vector<double> view_rms_px;
  std::string choice;  ///< One sentence: which model and why.
};

/// Fits f, optical centre and at most one coefficient with the camera's place in each picture (Levenberg-Marquardt,
/// OpenCV). A residual is the distance in px of a point from its mark's picture, to first order: the sight's place on
/// the wall less the mark's, over its gradient (Sampson, Computer Graphics and Image Processing 18, 97, 1982). Models:
/// equidistant, the same with one coefficient, pinhole, the same with one. Choice as in Calibrate; what others within
/// `evidence` say differently counts as uncertainty.
/// @return kBadInput for broken options or views, kNotFound where no lens explains the points or it stays too
/// uncertain.
Result<WallCalibration> CalibrateByWall(const std::vector<MarkedView>& views, int width_px, int height_px,
                                        const WallOptions& options, const JobContext& job = {});

/// Text of the entry of `cameras[]` in a joint file, its uncertainty in it.
/// @return As the other CameraBlockJson.
Result<std::string> CameraBlockJson(const WallCalibration& report, const CameraBlockFacts& facts);

}  // namespace vision::camera
