#pragma once

#include <string>
#include <vector>

#include "vision/arc/arc_options.h"
#include "vision/arc/course.h"
#include "vision/arc/light_place.h"
#include "vision/base/job.h"
#include "vision/live/tracker.h"
#include "vision/recording/frame_stream.h"

/// A recording of a weld being made, seen from inside: where the arc was at each moment.
namespace vision::arc {

/// Source: not noted, so taken as chosen; where a field says none.
struct FollowOptions {
  LightOptions light;
  CourseOptions course;
  /// The arc's light moves over the wall and pictures are dark: what still agrees with the first picture is believed.
  live::TrackerOptions tracker{.keyframe_share = 0.3, .least_match = 0.2, .fresh_match = 0.3};
  double pose_every_s = 1;  ///< The camera is followed in pictures averaged over so long; in [0.1, 10].
  double give_up_s = 3;     ///< Places while the camera is not followed for longer are left out; > 0.
  /// Pictures averaged; more would not quiet the noise for their cost. In [0.1, 1000]. Chosen.
  double most_per_second = 10;
  int drawing_width_px = 640;  ///< Of the pictures the camera is followed in; in [64, 4096]. Chosen.
  /// Of the roll (k = 1); in [0, 90]. Trials: followed through seven made-up films, 0.01 to 0.11 rms.
  double roll_u_deg = 0.15;
  /// Of the stand: what a whole film shares beyond the pose's own covariance, up to 1.1 in twenty; in [0, 90]. Trials:
  /// twenty made-up films.
  double stand_u_deg = 0.5;
  double edge_s = 0.15;  ///< The first and last moment of a burn are known to about this; in [0, 10]. Chosen.
  PoolOptions pool;

  [[nodiscard]] Status Check() const;
};

/// A stretch that says nothing, and why.
struct Gap {
  double from_s = 0, to_s = 0;
  std::string why;
};

/// What a recording tells of the welding. Times by the recording's clock from its first frame.
struct Welding {
  std::string recording, source;
  recording::StreamInfo info;
  double duration_s = 0, radius_mm = 0, radius_u_mm = 0;
  long frames = 0;
  Course course;
  double theta_u_deg = 0;  ///< Standard uncertainty of a moment's theta: light, path, pose and roll.
  double swept_u_deg = 0;  ///< Of the swept angle and of the overlap.
  double mean_speed_u_mm_min = 0;
  double full_share = 0;  ///< Share of the moments in which the light's place is at full scale throughout.
  pose::Pose start;       ///< Where the camera stood when it was found, without the arc.
  double start_s = 0;
  std::vector<Gap> gaps;  ///< Damage, and stretches in which the camera was not followed.
  std::vector<std::string> notes;
};

/// The camera is found where the arc is off (the looking setting, before or after), then followed by the wall's own
/// drawing, which the arc lights too. Memory does not grow with the length of the recording but for the moments.
/// @param source As FrameStream::Open.
/// @return kNotFound when the camera stands nowhere without the arc, or no arc is seen; as FrameStream; kCancelled.
Result<Welding> Follow(const std::string& source, const bore::Bore& bore, const pose::FrameSetting& setting,
                       const FollowOptions& options = {}, const JobContext& job = {});

/// `rootscroll.arc/1`, whole and checked against its schema (arc.schema.json).
Result<std::string> ToJson(const Welding& welding);

/// What another program needs of an arc.json: stops, and when each degree was last welded.
struct WeldedTimes {
  std::string recording, source;
  std::vector<Stop> stops;
  std::vector<double> time_s;  ///< By degree from 0; NaN = never.
  double theta_u_deg = 0;
};
/// @param name Goes into the sentence when the text breaks a rule.
Result<WeldedTimes> FromJson(const std::string& text, const std::string& name);

/// Clock position and speed over time, stops marked by hatching.
cv::Mat3b CoursePicture(const Welding& welding);

}  // namespace vision::arc
