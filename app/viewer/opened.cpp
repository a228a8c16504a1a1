#include "app/viewer/opened.h"

#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>

#include "app/joint/add_recording.h"
#include "app/measure/measure_joint.h"
#include "vision/base/file.h"
#include "vision/reading/heights.h"
#include "vision/reading/measure.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;

/// The "format" of a JSON file, empty when it is none.
std::string FormatOf(const fs::path& file) {
  const auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return {};
  const auto json = nlohmann::json::parse(text.value(), nullptr, false);
  return json.is_object() && json.contains("format") && json["format"].is_string() ? json["format"].get<std::string>()
                                                                                   : std::string();
}

std::optional<fs::path> JointFileIn(const fs::path& folder) {
  std::error_code failed;
  if (fs::exists(folder / "joint.json", failed)) return folder / "joint.json";
  for (const auto& entry : fs::directory_iterator(folder, failed))
    if (entry.path().extension() == ".json" && FormatOf(entry.path()) == "rootscroll.joint/1") return entry.path();
  return std::nullopt;
}

bool IsReadingOf(const fs::path& folder, const std::string& joint_id) {
  const auto text = vision::ReadFileWhole(folder / "reading.json");
  if (!text.ok()) return false;
  const auto json = nlohmann::json::parse(text.value(), nullptr, false);
  return json.is_object() && json.value("joint_id", "") == joint_id;
}

/// The newest measured folder of the joint beside its file.
fs::path NewestMeasured(const joint::Joint& joint) {
  fs::path best;
  fs::file_time_type newest = fs::file_time_type::min();
  std::error_code failed;
  const fs::path beside = joint.file.parent_path().empty() ? fs::path(".") : joint.file.parent_path();
  std::vector<fs::path> folders{beside};
  for (const auto& entry : fs::directory_iterator(beside, failed))
    if (entry.is_directory(failed)) folders.push_back(entry.path());
  for (const auto& folder : folders) {
    if (!fs::exists(folder / "reading.json", failed) || !IsReadingOf(folder, joint.id)) continue;
    const auto time = fs::last_write_time(folder / "reading.json", failed);
    if (time > newest) newest = time, best = folder;
  }
  return best;
}

Request OfJoint(const joint::Joint& joint) { return {joint.file, NewestMeasured(joint)}; }

vision::Result<Request> OfJointFile(const fs::path& file) {
  const auto joint = joint::LoadJoint(file);
  if (!joint.ok()) return joint.error();
  return OfJoint(joint.value());
}

Request Bare(const fs::path& video) {
  Request request;
  request.video = video;
  return request;
}

/// A video: of the joint file beside it that names it; else bare.
vision::Result<Request> OfVideo(const fs::path& file) {
  const auto beside = JointFileIn(fs::absolute(file).parent_path());
  if (!beside) return Bare(file);
  const auto joint = joint::LoadJoint(*beside);
  if (!joint.ok()) return joint.error();
  std::error_code failed;
  for (const auto& recording : joint.value().recordings)
    if (recording.video && fs::equivalent(*recording.video, file, failed)) return OfJoint(joint.value());
  return Bare(file);
}

/// Pictures in the order of their names, or the one video that is there.
/// @param folder Without a joint file.
vision::Result<Request> BareFolder(const fs::path& folder) {
  Request request;
  request.stills = vision::PicturesIn(folder);
  if (!request.stills.empty()) return request;
  std::vector<fs::path> videos;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed))
    if (IsVideo(entry.path())) videos.push_back(entry.path());
  if (videos.size() == 1) return Bare(videos.front());
  return vision::BadInput(folder.string() +
                          " holds neither a joint file, nor a reading, nor the frames or the one video of a recording; "
                          "start a joint file for it (File, New joint).");
}

vision::Result<Request> OfFolder(const fs::path& folder) {
  std::error_code failed;
  if (fs::exists(folder / "reading.json", failed)) {
    for (const auto& place : {folder, fs::absolute(folder).parent_path()})
      if (const auto file = JointFileIn(place)) return Request{*file, folder};
    return vision::BadInput(folder.string() +
                            " holds a reading but no joint file lies in it or beside it; open the joint file itself.");
  }
  if (const auto file = JointFileIn(folder)) return OfJointFile(*file);
  return BareFolder(folder);
}

vision::Status LoadPicture(const fs::path& file, int flags, cv::Size size, cv::Mat& picture) {
  picture = cv::imread(file.string(), flags);
  if (picture.empty())
    return vision::BadInput(file.string() + " is not a picture that can be read; measure the joint again.");
  if (size.area() > 0 && picture.size() != size)
    return vision::BadInput(file.string() + " differs in size from what reading.json says; measure the joint again.");
  return std::nullopt;
}

}  // namespace

bool IsVideo(const fs::path& file) {
  return vision::EndsWithOneOf(file, {".avi", ".mp4", ".mkv", ".mov", ".mpg", ".webm"});
}

vision::Result<Request> Resolve(const fs::path& path) {
  std::error_code failed;
  if (!fs::exists(path, failed)) return vision::BadInput("There is no file or folder " + path.string() + ".");
  if (fs::is_directory(path, failed)) return OfFolder(path);
  if (path.filename() == "reading.json") return OfFolder(fs::absolute(path).parent_path());
  if (path.extension() == ".json") return OfJointFile(path);
  if (IsVideo(path)) return OfVideo(path);
  return vision::BadInput(path.string() +
                          " is not a joint file; start one for this recording first (File, New joint).");
}

vision::Result<Opened> OpenMeasured(const Request& request, const vision::JobContext& job) {
  job.Report(0, "reading the joint file");
  auto joint = joint::LoadJoint(request.joint_file);
  if (!joint.ok()) return joint.error();
  auto text = vision::ReadFileWhole(request.folder / "reading.json");
  if (!text.ok()) return text.error();
  auto reading = vision::reading::FromJson(text.value(), (request.folder / "reading.json").string());
  if (!reading.ok()) return reading.error();
  if (reading.value().joint_id != joint.value().id)
    return vision::BadInput(request.folder.string() + " was measured on joint " + reading.value().joint_id +
                            ", not on " + joint.value().id + "; open the joint file that belongs to it.");
  Opened opened{std::move(joint).value(),
                request.folder,
                std::move(reading).value(),
                {},
                {},
                {},
                {},
                {},
                {},
                {},
                {},
                request.came_from,
                {},
                {}};
  opened.welded = FindWelded(opened.joint, request.folder, opened.reading.angles == "relative", opened.remarks);
  opened.belt = FindBelt(opened.joint, opened.remarks);
  opened.film = FindFilm(opened.joint, opened.remarks);
  const auto& strip = opened.reading.strip;
  if (strip.file.empty()) return opened;  // no weld found: no strip
  const cv::Size size(strip.columns, strip.rows);
  cv::Mat picture, seen, origin;
  job.Report(0.2, "reading the strip");
  if (auto bad = LoadPicture(request.folder / strip.file, cv::IMREAD_COLOR, size, picture)) return *bad;
  if (auto bad = LoadPicture(request.folder / strip.mask_file, cv::IMREAD_GRAYSCALE, size, seen)) return *bad;
  opened.strip = picture;
  opened.seen = seen;
  opened.pyramid = PyramidOf(opened.strip, opened.seen, strip.pitch_mm);
  if (job.Cancelled()) return vision::Cancelled();
  if (!strip.origin_file.empty()) {
    if (auto bad = LoadPicture(request.folder / strip.origin_file, cv::IMREAD_GRAYSCALE, size, origin)) return *bad;
    opened.origin = origin;
  }
  for (const auto& pose : opened.reading.poses) {
    cv::Mat map;
    if (!pose.source_map.empty())
      if (auto bad = LoadPicture(request.folder / pose.source_map, cv::IMREAD_UNCHANGED, {}, map)) return *bad;
    opened.source_maps.push_back(map);
  }
  if (opened.reading.relief) {
    job.Report(0.8, "reading the heights");
    auto relief = vision::reading::ReadRelief(opened.reading, request.folder);
    if (!relief.ok()) return relief.error();
    auto lines = vision::reading::SectionsOf(relief.value(), opened.reading);
    if (!lines.ok()) return lines.error();
    opened.heights = Heights{std::move(relief).value(), std::move(lines).value()};
  }
  job.Report(1, "opened");
  return opened;
}

fs::path MeasuredFolderOf(const joint::Joint& joint, const std::string& stage) {
  bool several = false;
  for (const auto& recording : joint.recordings) several = several || recording.stage != joint.recordings.front().stage;
  std::string name = joint.file.stem().string();
  if (several) name.append("-").append(joint::IdOfStage(stage));
  return joint.file.parent_path() / name.append("-measured");
}

vision::Status MeasureInto(const joint::Joint& joint, const fs::path& folder, const vision::JobContext& job,
                           const std::string& stage) {
  const auto done = measure::MeasureJoint(joint.file, measure::RecordingsOfStage(joint, stage), {}, job);
  if (!done.ok()) return done.error();
  return vision::reading::WriteMeasured(done.value().measured, folder);
}

}  // namespace app::viewer
