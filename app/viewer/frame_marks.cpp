#include "app/viewer/frame_marks.h"

#include <cmath>
#include <functional>

#include "vision/reading/source_map.h"

namespace app::viewer {
namespace {

using vision::reading::LookUp;

/// Along the ring in steps of `step_deg`; a new piece wherever the place is not known or not seen.
void Trace(const cv::Mat& map, const vision::reading::StripPicture& strip, double step_deg,
           const std::function<double(double theta_deg)>& z_mm, std::vector<FrameMarks::Line>& lines) {
  FrameMarks::Line line;
  const auto end = [&] {
    if (line.size() > 1) lines.push_back(std::move(line));
    line.clear();
  };
  for (double theta = 0; theta <= 360; theta += step_deg) {
    const double z = z_mm(theta);
    const auto point = std::isfinite(z) ? LookUp(map, strip, theta, z) : std::nullopt;
    if (point)
      line.emplace_back(point->u_px, point->v_px);
    else
      end();
  }
  end();
}

}  // namespace

FrameMarks MarksOn(const Opened& opened, const vision::reading::Reading& decided, int frame) {
  FrameMarks marks;
  const auto number = static_cast<std::size_t>(frame);
  if (number >= opened.source_maps.size() || opened.source_maps[number].empty()) return marks;
  const cv::Mat& map = opened.source_maps[number];
  const auto& strip = opened.reading.strip;
  const auto& profile = decided.profile;
  for (const auto* toe : {&profile.left_toe_z_mm, &profile.right_toe_z_mm}) {
    if (toe->empty()) continue;
    const auto at = [&](double theta) {
      const auto line = static_cast<std::size_t>(theta / 360 * static_cast<double>(toe->size()));
      return (*toe)[line % toe->size()];
    };
    Trace(map, strip, 0.5, at, marks.toes);
  }
  const double first = strip.z_from_mm, last = strip.z_from_mm + (strip.rows - 1) * strip.pitch_mm;
  for (const double z : {first, last})
    Trace(
        map, strip, 2, [z](double) { return z; }, marks.borders);
  if (decided.angles == "relative") return marks;
  const bool ahead = opened.reading.poses[number].facing != "-z";
  for (const int hour : {12, 3, 6, 9})
    if (const auto point = LookUp(map, strip, hour % 12 * 30, ahead ? first : last))
      marks.hours.push_back({hour, {point->u_px, point->v_px}});
  return marks;
}

}  // namespace app::viewer
