#include "app/viewer/welded.h"

#include <cmath>
#include <limits>

#include "vision/base/file.h"
#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;

std::vector<fs::path> ArcFiles(const joint::Joint& joint, const fs::path& measured) {
  std::error_code failed;
  const fs::path beside = joint.file.parent_path().empty() ? fs::path(".") : joint.file.parent_path();
  std::vector<fs::path> folders{measured, beside}, files;
  for (const auto& entry : fs::directory_iterator(beside, failed))
    if (entry.is_directory(failed) && !fs::equivalent(entry.path(), measured, failed)) folders.push_back(entry.path());
  for (const auto& folder : folders)
    if (fs::exists(folder / "arc.json", failed)) files.push_back(folder / "arc.json");
  return files;
}

/// @return Why the file cannot be laid on the strip; empty = it can.
std::string WhyNot(const joint::Recording* recording, const vision::arc::WeldedTimes& times, bool relative,
                   const std::string& name) {
  if (recording == nullptr || !recording->video || recording->video->filename() != fs::path(times.source).filename())
    return name + " tells of " + times.source + ", which is no recording of this joint; its stops are not shown.";
  if (relative || !recording->video_defaults.up_theta_deg)
    return name + ": the camera's roll (up_theta_deg) is not given for the " +
           (relative ? std::string("measured recording") : "recording " + recording->id) +
           ", so that its stops cannot be laid on the strip.";
  return {};
}

}  // namespace

double WeldedFilm::AtTheta(double theta_deg) const {
  if (times.time_s.empty()) return std::numeric_limits<double>::quiet_NaN();
  const auto degree = static_cast<std::size_t>(std::lround(vision::bore::Wrap360(theta_deg)));
  return times.time_s[degree % times.time_s.size()];
}

std::optional<WeldedFilm> FindWelded(const joint::Joint& joint, const fs::path& measured, bool relative,
                                     std::vector<std::string>& remarks) {
  std::optional<WeldedFilm> best;
  fs::file_time_type newest = fs::file_time_type::min();
  std::error_code failed;
  for (const auto& file : ArcFiles(joint, measured)) {
    const auto text = vision::ReadFileWhole(file);
    auto times = text.ok() ? vision::arc::FromJson(text.value(), file.string())
                           : vision::Result<vision::arc::WeldedTimes>(text.error());
    if (!times.ok()) {
      remarks.push_back(times.error().message);
      continue;
    }
    const auto* recording = joint.FindRecording(times.value().recording);
    if (const auto why = WhyNot(recording, times.value(), relative, file.string()); !why.empty()) {
      remarks.push_back(why);
      continue;
    }
    const auto time = fs::last_write_time(file, failed);
    if (time <= newest) continue;
    newest = time;
    best = WeldedFilm{std::move(times).value(), *recording->video};
  }
  return best;
}

}  // namespace app::viewer
