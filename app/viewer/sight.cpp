#include "app/viewer/sight.h"

#include <algorithm>
#include <cmath>

#include "vision/bore/angle.h"
#include "vision/recording/decode.h"
#include "vision/recording/film.h"

namespace app::viewer {

std::vector<Sight> SightsOf(const Opened& opened, double theta_deg, double z_mm) {
  std::vector<Sight> sights;
  const auto& strip = opened.reading.strip;
  for (std::size_t i = 0; i < opened.source_maps.size(); ++i)
    if (const auto point = vision::reading::LookUp(opened.source_maps[i], strip, theta_deg, z_mm))
      sights.push_back({static_cast<int>(i), *point});
  int first = -1;
  if (!opened.origin.empty()) {
    const int column =
        static_cast<int>(std::lround(vision::bore::Wrap360(theta_deg) / strip.theta_pitch_deg)) % strip.columns;
    const int row =
        std::clamp(static_cast<int>(std::lround((z_mm - strip.z_from_mm) / strip.pitch_mm)), 0, strip.rows - 1);
    first = opened.origin(row, column) - 1;
  }
  std::stable_sort(sights.begin(), sights.end(), [&](const Sight& a, const Sight& b) {
    if ((a.frame == first) != (b.frame == first)) return a.frame == first;
    return a.point.resolution_mm < b.point.resolution_mm;
  });
  return sights;
}

vision::Result<FrameFile> FileOfFrame(const Opened& opened, int frame) {
  const std::string& name = opened.reading.poses.at(static_cast<std::size_t>(frame)).file;
  const auto hash = name.rfind('#');
  for (const auto& id : opened.reading.recordings) {
    const auto* recording = opened.joint.FindRecording(id);
    if (!recording) continue;
    if (recording->video && hash != std::string::npos && recording->video->filename() == name.substr(0, hash))
      return FrameFile{*recording->video, std::atoi(name.c_str() + hash + 1), true};
    for (const auto& entry : recording->frames)
      if (entry.file.filename() == name) return FrameFile{entry.file, 0, false};
  }
  return vision::NotFound("The frame " + name + " is in none of the joint file's recordings.");
}

vision::Result<cv::Mat3b> LoadFrame(const FrameFile& file) {
  cv::Mat picture;
  if (!file.video) {
    auto still = vision::recording::ReadPicture(file.file);  // as it was measured: never turned
    if (!still.ok()) return still.error();
    picture = still.value();
  } else {
    auto film = vision::recording::Film::OpenAtFrame(file.file.string(), file.index);
    if (!film.ok()) return film.error();
    const auto frame = film.value().Next();
    if (frame.ok() && frame.value()) picture = frame.value()->image;
  }
  if (picture.empty()) return vision::BadInput("The frame in " + file.file.string() + " cannot be read.");
  return cv::Mat3b(picture);
}

}  // namespace app::viewer
