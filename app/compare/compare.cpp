#include "app/compare/compare.h"

#include <cmath>
#include <opencv2/imgcodecs.hpp>

#include "vision/base/file.h"
#include "vision/bore/angle.h"

namespace app::compare {
namespace {

namespace fs = std::filesystem;
using vision::match::WallPlace;

vision::Status LoadPicture(const fs::path& file, int flags, cv::Size size, cv::Mat& picture) {
  picture = cv::imread(file.string(), flags);
  if (picture.empty())
    return vision::BadInput(file.string() + " is not a picture that can be read; measure the joint again.");
  if (picture.size() != size)
    return vision::BadInput(file.string() + " differs in size from what reading.json says; measure the joint again.");
  return std::nullopt;
}

/// Where a toe lies at theta, or 0 where it was not measured.
double EdgeZ(const vision::reading::Profile& profile, const std::string& side, double theta_deg) {
  const auto& toes = side == "right" ? profile.right_toe_z_mm : profile.left_toe_z_mm;
  if (toes.empty()) return 0;
  const auto line = static_cast<std::size_t>(std::lround(theta_deg / 360 * static_cast<double>(toes.size())));
  const double z = toes[line % toes.size()];
  return std::isnan(z) ? 0 : z;
}

std::vector<Followed> ToFollow(const vision::reading::Reading& reading, const std::vector<GivenPlace>& places) {
  std::vector<Followed> followed;
  for (const auto& indication : reading.indications)
    followed.push_back({indication.kind,
                        {indication.theta_deg, indication.z_mm},
                        std::isnan(indication.length_mm) ? 0 : indication.length_mm,
                        {}});
  for (const auto& run : reading.unfused) {
    const double length_deg = vision::bore::Wrap360(run.end_deg - run.start_deg),
                 middle = vision::bore::Wrap360(run.start_deg + 0.5 * length_deg);
    followed.push_back({"original edge visible", {middle, EdgeZ(reading.profile, run.side, middle)}, run.arc_mm, {}});
  }
  for (const auto& place : places)
    followed.push_back({"given place", {vision::bore::Wrap360(place.theta_deg), place.z_mm}, place.length_mm, {}});
  return followed;
}

void Notes(const joint::Joint& joint, Comparison& c) {
  for (const auto* look : {&c.before, &c.after})
    if (look->reading.joint_id != joint.id)
      c.notes.push_back(look->folder.string() + " was measured as joint " + look->reading.joint_id + ", not " +
                        joint.id + "; that both show one weld stands on their walls alone.");
  if (c.before.reading.angles != "joint")
    c.notes.push_back("Angles are relative: the first recording's up was not given.");
  if (c.followed.empty())
    c.notes.push_back(
        "The first reading lists no indication and no place was given: whether one is gone cannot be said.");
}

}  // namespace

vision::Result<Look> LoadLook(const fs::path& folder) {
  const fs::path file = folder / "reading.json";
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  auto reading = vision::reading::FromJson(text.value(), file.string());
  if (!reading.ok()) return reading.error();
  Look look{folder, std::move(reading).value(), {}};
  const auto& strip = look.reading.strip;
  if (!look.reading.weld_found || strip.file.empty())
    return vision::NotFound(folder.string() + ": no weld was found in this recording, so there is nothing to compare.");
  look.picture.grid = {look.reading.bore_radius_mm, strip.pitch_mm, strip.z_from_mm, strip.rows, strip.columns};
  cv::Mat image, seen;
  const cv::Size size(strip.columns, strip.rows);
  if (auto bad = LoadPicture(folder / strip.file, cv::IMREAD_COLOR, size, image)) return *bad;
  if (auto bad = LoadPicture(folder / strip.mask_file, cv::IMREAD_GRAYSCALE, size, seen)) return *bad;
  look.picture.image = image, look.picture.seen = seen;
  return look;
}

vision::Result<Comparison> Compare(const joint::Joint& joint, const fs::path& before, const fs::path& after,
                                   const std::vector<GivenPlace>& places, const vision::JobContext& job) {
  auto first = LoadLook(before);
  if (!first.ok()) return first.error();
  auto second = LoadLook(after);
  if (!second.ok()) return second.error();
  Comparison c;
  c.joint_id = joint.id;
  c.before = std::move(first).value(), c.after = std::move(second).value();
  auto match = vision::match::MatchRing(c.before.picture, c.after.picture, {}, job.Part(0, 0.5));
  if (!match.ok()) return match.error();
  c.match = std::move(match).value();
  if (!c.match.trusted)
    return vision::NotFound("The two recordings cannot be laid on each other with trust: " + c.match.doubt +
                            ". What was removed is not measurable from them; check that both show one joint.");
  c.laid = vision::match::LaidOn(c.after.picture, c.before.picture.grid, c.match);
  vision::match::ChangeOptions options;
  for (const auto* look : {&c.before, &c.after})
    if (look->reading.strip.resolution_mm > options.resolution_mm)
      options.resolution_mm = look->reading.strip.resolution_mm;
  auto change = vision::match::FindChange(c.before.picture, c.laid, c.match.residual_mm, options, job.Part(0.5, 1));
  if (!change.ok()) return change.error();
  c.change = std::move(change).value();
  c.followed = ToFollow(c.before.reading, places);
  for (auto& one : c.followed)
    one.fate = vision::match::FateOfIndication(c.change, c.before.picture, c.laid, one.place, one.length_mm);
  Notes(joint, c);
  return c;
}

std::string DepthSaid() {
  return "Depth and slopes: not measurable from this recording (pictures tell where, not how deep). Take ultrasonic "
         "readings at the bottom of the pocket and on sound wall beside it, on both sides; the lowest, less its "
         "uncertainty, is the remaining wall.";
}

vision::Status Write(const Comparison& comparison, const fs::path& folder) {
  std::error_code failed;
  fs::create_directories(folder, failed);
  if (failed) return vision::BadInput("The folder " + folder.string() + " cannot be made.");
  std::vector<unsigned char> png;
  if (!cv::imencode(".png", ChangePicture(comparison), png)) return vision::BadInput("change.png could not be made.");
  if (auto bad = vision::WriteFileWhole(folder / "change.png", std::string(png.begin(), png.end()))) return bad;
  return vision::WriteFileWhole(folder / "change.json", ToJson(comparison));
}

}  // namespace app::compare
