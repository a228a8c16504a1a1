#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/camera/lens.h"
#include "vision/camera/lens_fit.h"
#include "vision/camera/target.h"

/// From pictures of a flat board to a lens, with how good it is.
namespace vision::camera {

/// Source: not noted, so taken as chosen; where a field says none.
struct CalibrationOptions {
  Board board;                                                                                         ///< Must be set.
  std::vector<LensModel> models = {LensModel::kPinhole, LensModel::kKannalaBrandt, LensModel::kOmni};  ///< To try.
  bool square_pixels = true;     ///< Keep fx = fy.
  int min_views = 4;             ///< Views with the whole board; >= 3.
  double view_rms_limit_px = 2;  ///< A view is refused when its rms is above this; > 0 ...
  double view_rms_factor = 4;    ///< ... and above this many times the median view's; >= 1.
  double max_scale_u = 0.02;     ///< A model whose scale stays more uncertain than this share (k = 1) is refused.
  /// Evidence that a model with more numbers must bring over one with fewer, in units of the Bayesian information
  /// criterion: 10 is "very strong" (Kass & Raftery 1995, J. Am. Stat. Assoc. 90, 773, table in sec. 3.2).
  double evidence = 10;
  /// Edge of the usable image circle; not set: the largest angle at which corners were seen. Beyond that angle the
  /// lens is an extrapolation, and the report says so. In (0, 180).
  std::optional<double> max_angle_deg;

  /// First broken constraint, naming the field.
  [[nodiscard]] Status Check() const;
};

/// A picture and what to call it.
struct NamedPicture {
  std::string name;
  cv::Mat picture;  ///< 8-bit grey or BGR.
};

/// What became of one picture.
struct ViewOutcome {
  std::string name;
  bool used = false;
  std::string reason;                   ///< Why it was refused; empty when used.
  double rms_px = 0;                    ///< Used views: through the chosen lens.
  double max_angle_deg = 0;             ///< Used views: farthest corner from the axis.
  std::vector<Eigen::Vector2d> off_px;  ///< Used views, per corner: as found less as the chosen lens shows it.
};

/// What became of one model; all are fitted to the same views.
struct ModelOutcome {
  LensModel model = LensModel::kPinhole;
  std::optional<LensFit> fit;  ///< Absent: refused.
  std::string reason;          ///< Why refused; empty when fitted.
  double score = 0;            ///< Bayesian information criterion, smaller is better.
};

struct CalibrationReport {
  Lens lens;
  double rms_px = 0;                      ///< Root mean squared distance over all corners used.
  double middle_px = 0, middle_u_px = 0;  ///< Scale in the middle of the picture, px per rad, and its uncertainty.
  double centre_u_px = 0;                 ///< Standard uncertainty (k = 1) of cx and cy, the larger.
  double seen_to_deg = 0;                 ///< Largest angle from the axis at which a corner was seen.
  Board board;
  std::vector<ModelOutcome> models;  ///< In the order of CalibrationOptions::models.
  std::vector<ViewOutcome> views;    ///< In the order given.
  std::string choice;                ///< One sentence: which model and why.
  std::string max_angle_source;      ///< One sentence: where lens.max_angle_deg comes from.

  int ViewsUsed() const;
};

/// Finds the board in each picture and calibrates. A picture without the whole board, or of another size than the
/// first that is not empty, is refused with the reason and the others go on.
/// @return kBadInput for broken options, kNotFound when too few views remain or no model fits, kCancelled.
Result<CalibrationReport> Calibrate(const std::vector<NamedPicture>& pictures, const CalibrationOptions& options,
                                    const JobContext& job = {});

/// The same from corners already known.
/// First all models are fitted robustly; the views that the best of them cannot explain are refused; then every model
/// is fitted to the same remaining views by plain least squares. Choice: smallest n ln(rms^2) + k ln(n), n = corner
/// coordinates, k = the lens's free numbers; where a model with fewer numbers is within `evidence` of it, that one.
Result<CalibrationReport> Calibrate(const std::vector<BoardView>& views, int width_px, int height_px,
                                    const CalibrationOptions& options, const JobContext& job = {});

/// What a camera block needs and a calibration does not know.
struct CameraBlockFacts {
  std::string id;           ///< Not empty.
  std::string date;         ///< When the pictures were taken, YYYY-MM-DD.
  std::string lens_serial;  ///< May be empty.
};

/// Text of the entry of `cameras[]` in a joint file.
/// @return kBadInput for an empty id or a date that is not YYYY-MM-DD.
Result<std::string> CameraBlockJson(const CalibrationReport& report, const CameraBlockFacts& facts);

}  // namespace vision::camera
