#pragma once

#include <filesystem>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/live/growing_strip.h"
#include "vision/live/reader.h"
#include "vision/live/recorder.h"
#include "vision/live/times.h"
#include "vision/live/toes_now.h"
#include "vision/live/tracker.h"

namespace vision::live {

/// What to tell the person who holds the camera.
enum class Hint { kNoPicture, kWelding, kLookingForWeld, kTooClose, kHoldStill, kMoveOn, kCovered, kGood };

/// "hold still", "move on", "too close to the wall", ...
std::string Words(Hint hint);

/// The two settings a weld camera is switched between, told by where the picture's light comes from.
enum class Setting { kLooking, kWelding };

/// Source: not noted, so taken as chosen; where a field says none.
struct WatchOptions {
  ReaderOptions reader;
  bore::Bore bore;
  pose::FrameSetting setting;
  std::string camera;                     ///< Its id in the joint file, for the record.
  std::optional<RecorderOptions> record;  ///< Also written to disk.
  double seconds = 0;                     ///< Ends after so long; 0 = when the source ends or somebody stops it. In s.
  double say_every_s = 2;                 ///< Between two calls of the teller; > 0.
  double close_share = 0.25;              ///< Nearer to the wall than this, over the radius: too close; in (0, 1).
  double blur_share = 0.004;              ///< The wall moves by this much of the picture's width a frame: hold still.
  double still_s = 3;                     ///< Nothing new for so long: move on; > 0.
  double arc_light = 0.16,
         lamp_light = 0.145;  ///< LightInFew above: welding; below: looking; arc > lamp. No unit.
  TrackerOptions tracker;
  GrowingOptions strip;
  int steady_frames = 3;        ///< A setting changes when so many frames in a row say so. In [1, 1000]. Chosen.
  double search_every_s = 0.3;  ///< Between two searches for the weld, s; in [0, 60]. Chosen.
  ToesNowOptions toes;

  [[nodiscard]] Status Check() const;
};

/// Everything counted so far.
struct WatchFigures {
  double seconds = 0;
  std::int64_t came = 0, processed = 0, dropped = 0, followed = 0, found_afresh = 0, no_pose = 0, welding = 0;
  int keyframes = 0;
  Times latency, drawing, track, strip, toes;
  double memory_start_mib = 0, memory_now_mib = 0, memory_peak_mib = 0;
  std::vector<Outage> outages;
  std::vector<double> coverage;         ///< Of twelve arcs from theta 0.
  std::map<std::string, double> hints;  ///< Share of the processed frames.
  std::int64_t recorded = 0, record_lost = 0;
  std::vector<std::string> record_files;
  std::string ended_by;
};

/// What a frame just brought; valid during the call only.
struct WatchView {
  const cv::Mat3b& frame;
  const std::optional<Tracked>& tracked;
  const GrowingStrip& strip;
  const std::optional<ToesNow::Lines>& toes;
  Hint hint;
  Setting setting;
  std::string why;  ///< Why there is no pose.
  double latency_ms;
  std::chrono::steady_clock::time_point captured;
};

struct WatchListener {
  std::function<void(const WatchView&)> on_frame;          ///< Every processed frame; may be empty.
  std::function<void(const WatchFigures&, Hint)> on_tell;  ///< Every say_every_s, also while no picture comes.
};

struct Watched {
  WatchFigures figures;
  cv::Mat3b strip;
  unroll::StripGrid grid;
};

/// Follows a source until it ends, `seconds` are over or `job` is stopped; being stopped is no failure here: what was
/// seen until then is returned.
/// @return kBadInput when the source cannot be read or its pictures have another size.
Result<Watched> Watch(const WatchOptions& options, const WatchListener& listener, const JobContext& job = {});

}  // namespace vision::live
