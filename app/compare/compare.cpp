#include "app/compare/compare.h"

#include <cmath>
#include <opencv2/imgcodecs.hpp>

#include "vision/base/file.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/match/footprint.h"
#include "vision/reading/heights.h"
#include "vision/recording/frame_source.h"

namespace app::compare {
namespace {

using vision::Says;

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

struct MeanToe {
  double mean_mm = 0, farthest_mm = 0;
};

/// Over the lines within `half_deg` of a pocket's middle that know it; `farthest` from the weld.
std::optional<MeanToe> ToeBeside(const vision::reading::Profile& profile, bool left, double theta_deg,
                                 double half_deg) {
  const auto& toes = left ? profile.left_toe_z_mm : profile.right_toe_z_mm;
  double sum = 0, farthest = 0;
  int lines = 0;
  for (std::size_t i = 0; i < toes.size(); ++i) {
    if (std::abs(vision::bore::Wrap180(profile.theta_deg[i] - theta_deg)) > half_deg || !std::isfinite(toes[i]))
      continue;
    farthest = lines == 0 ? toes[i] : left ? std::min(farthest, toes[i]) : std::max(farthest, toes[i]);
    sum += toes[i], ++lines;
  }
  if (lines == 0) return std::nullopt;
  return MeanToe{sum / lines, farthest};
}

/// Where the bare wall begins about a pocket: beyond the pocket and beyond the toes over its arc. Between the toes the
/// one wall runs into the other. A toe that is not known there lies as far from the weld's middle (z = 0) as the other;
/// where neither is, the pocket's own ends stand in.
vision::match::WallEnds WallsBeside(const Comparison& c, const vision::match::Pocket& pocket) {
  constexpr double kMirrored_u_mm = 0.8;  // of a bead about the weld's middle: common practice, no source
  const double first = pocket.middle.z_mm - 0.5 * pocket.axial_mm, last = pocket.middle.z_mm + 0.5 * pocket.axial_mm;
  vision::match::WallEnds walls{first, last, first, last};
  const auto& profile = c.before.reading.profile;
  const double half_deg = 0.5 * pocket.circ_mm / c.before.reading.bore_radius_mm * vision::bore::kDegPerRad;
  auto left = ToeBeside(profile, true, pocket.middle.theta_deg, half_deg),
       right = ToeBeside(profile, false, pocket.middle.theta_deg, half_deg);
  walls.toes_known = left || right;
  if (!walls.toes_known) return walls;
  if (!left || !right) walls.toe_u_mm = kMirrored_u_mm;
  if (!left) left = MeanToe{-right->mean_mm, -right->farthest_mm};
  if (!right) right = MeanToe{-left->mean_mm, -left->farthest_mm};
  walls.left_z_mm = std::min(first, left->farthest_mm), walls.right_z_mm = std::max(last, right->farthest_mm);
  walls.from_z_mm = left->mean_mm, walls.to_z_mm = right->mean_mm;
  return walls;
}

vision::Status FindDepths(Comparison& c) {
  const auto relief = [](const Look& look) { return look.relief ? &*look.relief : nullptr; };
  for (auto& pocket : c.change.pockets) {
    const auto by_heights =
        vision::match::FootprintOf(pocket, relief(c.before), relief(c.after), c.match, WallsBeside(c, pocket));
    if (by_heights.footprint) {
      const auto& f = *by_heights.footprint;
      pocket.middle = f.middle, pocket.by_heights = true;
      pocket.circ_mm = f.circ_mm, pocket.circ_u_mm = f.circ_u_mm;
      pocket.axial_mm = f.axial_mm, pocket.axial_u_mm = f.axial_u_mm;
    }
    auto depths = vision::match::DepthsOf(pocket, relief(c.before), relief(c.after), c.match, WallsBeside(c, pocket));
    if (!depths.ok()) return depths.error();
    c.depths.push_back(std::move(depths).value());
    auto slopes = vision::match::SlopesOf(pocket, relief(c.after), c.match, WallsBeside(c, pocket));
    if (!slopes.ok()) return slopes.error();
    c.slopes.push_back(slopes.value());
  }
  return std::nullopt;
}

void Notes(const joint::Joint& joint, Comparison& c) {
  for (const auto* look : {&c.before, &c.after})
    if (look->reading.joint_id != joint.id)
      c.notes.push_back({Says::kOtherJoint, {look->folder.string(), look->reading.joint_id, joint.id}});
  if (c.before.reading.angles != "joint") c.notes.push_back({Says::kFirstRelative});
  if (c.followed.empty()) c.notes.push_back({Says::kNothingToFollow});
}

}  // namespace

namespace {
vision::Status LoadStrip(Look& look) {
  const auto& strip = look.reading.strip;
  look.picture.grid = {look.reading.bore_radius_mm, strip.pitch_mm, strip.z_from_mm, strip.rows, strip.columns};
  cv::Mat image, seen;
  const cv::Size size(strip.columns, strip.rows);
  if (auto bad = LoadPicture(look.folder / strip.file, cv::IMREAD_COLOR, size, image)) return bad;
  if (auto bad = LoadPicture(look.folder / strip.mask_file, cv::IMREAD_GRAYSCALE, size, seen)) return bad;
  look.picture.image = image, look.picture.seen = seen;
  return std::nullopt;
}
}  // namespace

vision::Result<Look> LoadLook(const fs::path& folder) {
  const fs::path file = folder / "reading.json";
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  auto reading = vision::reading::FromJson(text.value(), file.string());
  if (!reading.ok()) return reading.error();
  Look look{folder, std::move(reading).value(), {}, {}};
  if (!look.reading.weld_found || look.reading.strip.file.empty())
    return vision::NotFound(folder.string() + ": no weld was found in this recording, so there is nothing to compare.");
  if (auto bad = LoadStrip(look)) return *bad;
  if (look.reading.relief) {
    auto relief = vision::reading::ReadRelief(look.reading, folder);
    if (!relief.ok()) return relief.error();
    look.relief = std::move(relief).value();
  }
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
    return vision::NotFound("The two recordings cannot be laid on each other with trust: " + EnglishOf(c.match.doubt) +
                            ". What was removed is not measurable from them; check that both show one joint.");
  c.laid = vision::match::LaidOn(c.after.picture, c.before.picture.grid, c.match);
  vision::match::ChangeOptions options;
  for (const auto* look : {&c.before, &c.after})
    if (look->reading.strip.resolution_mm > options.resolution_mm)
      options.resolution_mm = look->reading.strip.resolution_mm;
  auto change = vision::match::FindChange(c.before.picture, c.laid, c.match.residual_mm, options, job.Part(0.5, 1));
  if (!change.ok()) return change.error();
  c.change = std::move(change).value();
  if (auto failed = FindDepths(c)) return *failed;
  c.followed = ToFollow(c.before.reading, places);
  for (auto& one : c.followed)
    one.fate = vision::match::FateOfIndication(c.change, c.before.picture, c.laid, one.place, one.length_mm);
  Notes(joint, c);
  return c;
}

std::string DepthRule() {
  return "A depth from pictures or a relief is not the acceptance reading: take ultrasonic readings at the bottom of "
         "the "
         "pocket and on sound wall beside it, on both sides; the lowest, less its uncertainty, is the remaining wall. "
         "Slopes are read along the pipe only, where the wall was bare before.";
}

vision::Status Write(const Comparison& comparison, const fs::path& folder) {
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  const Shown shown = ShownOf(comparison);
  const auto difference = vision::match::Difference(comparison.before.picture, comparison.laid);
  const std::pair<const char*, cv::Mat3b> pictures[] = {
      {"change.png", ChangePicture(comparison)},
      {"change_before.png", CutOut(comparison.before.picture.image, shown)},
      {"change_after.png", CutOut(comparison.laid.image, shown)},
      {"change_difference.png", CutOut(difference, shown)}};
  for (const auto& [name, picture] : pictures)
    if (auto bad = vision::recording::WritePicture(folder / name, picture)) return bad;
  const std::string json = ToJson(comparison);
  if (auto bad = CheckChange(json, "change.json")) return bad;
  return vision::WriteFileWhole(folder / "change.json", json);
}

}  // namespace app::compare
