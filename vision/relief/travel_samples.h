#pragma once

#include <Eigen/Core>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/base/job.h"
#include "vision/relief/travel.h"

/// The frames of a push sampled along station lines, in linear light.
namespace vision::relief {

/// One line's samples. Places are distances along the sight (z, mirrored for a camera that looks along -z), on the
/// bore's cylinder.
struct LineSamples {
  double theta_deg = 0;
  double toe_near = 0, toe_far = 0, wall_near = 0, wall_far = 0;  ///< mm, along the sight.
  double toe_near_u = 0, toe_far_u = 0;
  std::vector<double> along_mm;                     ///< Where: the same in all frames.
  std::vector<std::vector<float>> light;            ///< Frame by place, of the median over everything; NaN = not seen.
  std::vector<std::vector<unsigned char>> clipped;  ///< 1 = blown out: the light is at least so much.
};

struct Samples {
  double along = 1;  ///< The way the camera looks.
  double radius_mm = 0;
  std::vector<bore::BoreFromCam> poses;
  std::vector<double> distance_mm;  ///< Camera to weld, along the axis.
  std::vector<double> px_per_mm;    ///< Along z, at the weld.
  std::vector<LineSamples> lines;   ///< Those asked for, in order.
  std::vector<std::size_t> asked;   ///< Their places among the lines given.
};

/// A picture as linear light, 0 to 1: mean of green and red, by the display curve of IEC 61966-2-1.
/// @param blown Gets 1 where green or red is at its end.
cv::Mat1f LinearLight(const cv::Mat3b& picture, cv::Mat1f* blown, const TravelSampleOptions& o = {});

/// @param frames All look the same way. @return kNotFound when no line is asked for or nothing is seen.
Result<Samples> SampleLines(const std::vector<TravelFrame>& frames, const bore::Bore& bore,
                            const std::vector<TravelLine>& lines, const TravelOptions& options, const JobContext& job);

/// Light at a place between two samples; NaN where it is not seen.
double LightAt(const std::vector<double>& along_mm, const std::vector<float>& light, double at_mm);

}  // namespace vision::relief
