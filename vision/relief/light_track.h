#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/bore/bore.h"
#include "vision/pose/pose.h"
#include "vision/relief/light_options.h"

/// The wall's own drawing followed through the frames of one push.
namespace vision::relief {

/// One place of the wall in one frame.
struct DrawingSight {
  int frame = 0;
  Eigen::Vector2d pixel{0, 0};
  double sigma_px = 0.15;
};

/// A place of the wall that several frames show.
struct DrawingPoint {
  double theta_deg = 0, z_mm = 0;
  std::vector<DrawingSight> sights;  ///< Two or more.
};

/// Source: not noted, so taken as chosen; where a field says none.
struct SweepOptions {
  double reach_mm = 2;              ///< How far the drawing may lie from where the poses put it; > 0.
  double least_correlation = 0.55;  ///< Of a patch with the drawing sought; in [0, 1].
  int around = 36;                  ///< Patches around the bore; in [1, 720].
  int neighbours = 7;  ///< Frames on either side of a patch's own frame that it is sought in; in [1, 1000].
  double weld_from_mm = 0,
         weld_to_mm = 0;  ///< Left out: the bead shines, it does not carry a drawing. In [-1000, 1000].
  DrawingOptions drawing;

  [[nodiscard]] Status Check() const;
};

/// What tracking needs of a frame.
struct SweepFrame {
  const cv::Mat3b* image = nullptr;
  const pose::FrameSetting* setting = nullptr;
  cv::Mat1b hidden;  ///< 255 where the stripe and its halo cover the wall.
  bore::BoreFromCam pose;
};

/// Patches are cut from strips unrolled with the present poses and sought in the neighbours' strips.
std::vector<DrawingPoint> TrackDrawing(const std::vector<SweepFrame>& frames, double radius_mm,
                                       const SweepOptions& options);

/// What must be added to z of `second`'s pose for it to be right, mm, by the drawing it shares with `first` (median
/// over the patches); NaN when they do not match.
double StepAlong(const SweepFrame& first, const SweepFrame& second, double radius_mm, double reach_mm,
                 const DrawingOptions& o = {});

}  // namespace vision::relief
