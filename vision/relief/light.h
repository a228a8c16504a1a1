#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bore/bore.h"
#include "vision/pose/pose.h"
#include "vision/relief/light_options.h"
#include "vision/relief/relief.h"

/// Relief by light section: a plane of light fixed to the camera draws a stripe on the wall; each frame cuts the
/// surface once, and a push with the light on gives the whole relief.
///
/// 1. The stripe's two edges are found in every frame (light_stripe.h): with the plane's distance D a slope x / z is a
///    place in millimetres, no pose needed.
/// 2. The wall's own drawing, seen by the lamps, is followed from frame to frame (light_track.h).
/// 3. All poses and the plane are solved together (light_solve.h): drawing on the cylinder, stripe on bare wall at the
///    wall's level, radius fixed.
/// 4. Each edge is a cut of its own half the light's depth before or behind the plane; the two are put together where
///    both cut the same place, so that the light's depth drops out (light_cuts.h).
namespace vision::relief {

/// The plane of light in the camera's frame: z = distance, turned about the camera's x, then y.
struct LightPlane {
  double distance_mm = kNotMeasured;
  double tilt_x_deg = 0, tilt_y_deg = 0;
  double distance_u_mm = kNotMeasured, tilt_u_deg = kNotMeasured;

  Eigen::Vector3d Normal() const;
  /// Place on the plane `ahead_mm` further out, in the camera's frame, that is seen at this slope.
  Eigen::Vector3d PointAt(const Eigen::Vector2d& slope, double ahead_mm = 0) const;
};

struct LightFrame {
  cv::Mat3b image;
  pose::FrameSetting setting;  ///< up_theta_deg holds the roll of the first frame; the others follow from the wall.
  std::string name;
};

/// Source: not noted, so taken as chosen; where a field says none.
struct LightOptions {
  double pitch_mm = 0.2;            ///< Rows of the relief; in [0.05, 1].
  double longest_gap_mm = 2.2;      ///< Between two cuts; a wider gap is left empty; > 0.
  double clear_of_weld_mm = 5.5;    ///< Wall further than this from the weld's middle is taken to be bare; > 0.
  double plane_u_mm = 0.1;          ///< Of a distance that was given; > 0.
  double plane_tilt_u_deg = 0.1;    ///< Of a tilt that was given (or 0 beside a given distance); > 0.
  int halo_px = 5;                  ///< Beside the stripe's edges: blur and coding.
  int rounds = 3;                   ///< Of solving all poses together.
  std::size_t lost_in_a_row = 2;    ///< Frames; across more the camera's path is not known.
  double same_radius_share = 0.01;  ///< The stripe's radius is the same from frame to frame within so much.
  double alike_share = 0.15;        ///< Of the stripe's width from frame to frame.
  double closed_share = 0.5;   ///< Of the ring, seen in half of the frames: else it is sought in the brightest colour.
  double middle_bin_mm = 0.5;  ///< The weld's middle is sought in such steps along z.
  /// Columns of the stripe put together on bare wall (1.5 degrees): neighbours share its drawing.
  int wall_stride = 6;
  LightCutOptions cuts;
  StripeTraceOptions trace;
  OwnLightOptions own_light;
  DrawingOptions drawing;

  [[nodiscard]] Status Check() const;
};

struct LightSection {
  Relief relief;                                        ///< z = 0 at the weld's middle as the relief shows it.
  std::vector<bore::BoreFromCam> poses;                 ///< Of the frames used.
  std::vector<std::size_t> used;                        ///< Their places in the input.
  std::vector<cv::Mat1b> stripe_mask;                   ///< 255 where the stripe and its halo cover a frame's wall.
  std::vector<double> offset_u_mm, z_u_mm, tilt_u_deg;  ///< Standard uncertainties of each pose.
  LightPlane plane;                                     ///< As solved.
  double wall_residual_mm = 0;                          ///< Root mean square of the stripe on bare wall about the wall.
  double drawing_residual_px = 0;                       ///< Root mean square of the wall's drawing.
  int drawing_points = 0;
  std::vector<Sentence> notes;  ///< Frames left out, and why.
};

/// @param plane What is known of the plane; distance NaN = calibrated from bare bore in these frames.
/// @return kNotFound with the reason when there is no stripe, too little bare wall, or the walls cannot be followed.
Result<LightSection> ReliefByLight(const std::vector<LightFrame>& frames, const bore::Bore& bore,
                                   const LightPlane& plane, const LightOptions& options = {},
                                   const JobContext& job = {});

}  // namespace vision::relief
