#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/pose/push.h"
#include "vision/reading/look.h"

namespace vision::reading {

/// A frame still to be read, with its settings.
struct Waiting {
  FrameInput setting;
  std::optional<recording::Frame> frame;              ///< Already decoded (from a video).
  std::size_t recording = 0;                          ///< Which of MeasureInput::recordings it is of.
  std::optional<pose::Sought> sought = std::nullopt;  ///< What the search said of it, once it was made.
  bool righted = false;                               ///< Turned back and its two fields made one.
  bool interlaced = false;                            ///< It was.
};

/// How far the weld would stand askew, degrees: first harmonic of the look's near toe. 0 where less than half is
/// stated.
double AskewDeg(const Look& look, double radius_mm);

/// Reads its still where it is not decoded yet; a mirrored picture is turned back, an interlaced one keeps every second
/// line. @return What ReadStill says.
Status Decode(Waiting& next);

/// The frames of a recording during which the camera travelled, with the poses solved together.
struct Push {
  std::vector<std::string> names;
  std::vector<cv::Mat3b> pictures;
  std::vector<pose::FrameSetting> settings;
  pose::PushSolution solution;  ///< z = 0 at the weld's middle.
  std::vector<Look> looks;      ///< Of the frames chosen for toes and fusion.
};

struct PushLimits {
  std::size_t most_looks = 8;    ///< Frames whose toes and fusion are read: the others only help the poses and heights.
  double max_residual_px = 1.2;  ///< A solution beyond is not trusted.
  double min_used_share = 0.7;   ///< Of the sightings.
  double max_offset_u_share = 0.02;  ///< Standard uncertainty of an offset over the radius.
  /// Of the solved poses from what each frame shows alone, in that frame's own standard uncertainties, in the middle.
  double most_from_single = 2;
  double beyond_share = 0.25;  ///< Wall past the weld that is followed where it may bend, over the radius.
  /// Of the weld's plane against square to the bore, as the solved poses lay it: more, and they lean; > 0. A joint is
  /// fitted up to well under a degree (common practice, no source); a push before an elbow leant by 5.5.
  double max_askew_deg = 1.5;
};

/// How far the solved poses lie from those each frame gave alone: tilt or offset in that frame's own standard
/// uncertainties, the middle frame's.
double FromSingly(const std::vector<pose::PushFrame>& frames, const pose::PushSolution& solution);

/// Standard uncertainty of the step between the walls, mm, with what trials left of it beyond the solution's own.
double StepU(const pose::WallLevels& levels, double theta_deg);

/// Could these frames be a push? Three or more, one direction, along the bore, no pose or points given by a person.
bool MayBePush(const Waiting* first, const Waiting* last);

/// Solves the poses of one recording's frames together and takes looks at the best of them.
/// @return nullopt, with a note in `reading`, when the frames do not travel or the solution cannot be trusted: they are
/// then read one by one. Errors are those of files that cannot be read, and kCancelled.
Result<std::optional<Push>> TakePush(std::vector<Waiting>& waiting, std::size_t begin, std::size_t end,
                                     const MeasureInput& input, const MeasureOptions& options, Reading& reading,
                                     const JobContext& job);

}  // namespace vision::reading
