#include "vision/reading/heights.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <map>
#include <opencv2/imgcodecs.hpp>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/bore/angle.h"
#include "vision/reading/explain.h"

namespace vision::reading {
namespace {

constexpr double kMillimetresPerStep = 0.001;  ///< Format: of heights.png.
constexpr int kZero = 32768;                   ///< Format: the same.

using Sections = std::vector<relief::SectionLine>;

/// The relief's column nearest to a station line.
std::size_t ColumnAt(const Sections& sections, double theta_deg) {
  const auto n = static_cast<double>(sections.size());
  return static_cast<std::size_t>(std::lround(bore::Wrap360(theta_deg) / 360 * n)) % sections.size();
}

const relief::SectionLine& At(const Sections& sections, double theta_deg) {
  return sections[ColumnAt(sections, theta_deg)];
}

/// The profile's toes, one a relief column; the walls' heights known, their shift by the view is taken out (no walls:
/// it is out already).
relief::ToeHints HintsOf(const Profile& p, const Sections& walls, const ToesSeen& seen, int columns,
                         const HeightOptions& o) {
  relief::ToeHints hints;
  for (int c = 0; c < columns; ++c) {
    const double theta = 360.0 * c / columns;
    const auto i = static_cast<std::size_t>(std::lround(theta / 360 * static_cast<double>(p.theta_deg.size()))) %
                   p.theta_deg.size();
    double left = p.left_toe_z_mm[i], right = p.right_toe_z_mm[i];
    if (!walls.empty()) {
      const auto& line = At(walls, theta);
      if (std::isfinite(line.wall_left)) left -= seen.shift_per_height * line.wall_left;
      if (std::isfinite(line.wall_right)) right -= seen.shift_per_height * line.wall_right;
    }
    hints.left_z_mm.push_back(left);
    hints.right_z_mm.push_back(right);
    hints.left_u_mm.push_back(std::fmax(o.toe_seen_u_mm, p.left_toe_u_mm[i]));  // fmax: a NaN gives way
    hints.right_u_mm.push_back(std::fmax(o.toe_seen_u_mm, p.right_toe_u_mm[i]));
  }
  return hints;
}

/// Of a side: is a toe seen in the picture in doubt, as the surface has it elsewhere? Where they are apart by much in
/// the middle of the ring, the picture may have taken another line, or the surface is smeared there, and all are in
/// doubt.
std::vector<bool> InDoubt(const std::vector<double>& by_height, const std::vector<double>& seen,
                          const HeightOptions& o) {
  std::vector<double> apart;
  for (std::size_t i = 0; i < seen.size(); ++i)
    if (std::isfinite(seen[i] - by_height[i])) apart.push_back(std::abs(seen[i] - by_height[i]));
  const bool another_line = !apart.empty() && Median(apart) > o.another_line_mm;
  std::vector<bool> doubt(seen.size());
  for (std::size_t i = 0; i < seen.size(); ++i)
    doubt[i] = another_line || !(std::abs(seen[i] - by_height[i]) <= o.astray_mm);
  return doubt;
}

/// Toes that picture and surface do not tell together: in a reading there is none there.
struct Doubts {
  std::vector<bool> left, right;
};

Doubts HeldAgainst(const Sections& by_height, const relief::ToeHints& hints, const HeightOptions& o) {
  std::vector<double> left, right;
  for (const auto& line : by_height) {
    left.push_back(line.toe_left_z);
    right.push_back(line.toe_right_z);
  }
  return {InDoubt(left, hints.left_z_mm, o), InDoubt(right, hints.right_z_mm, o)};
}

/// Toes and width as picture and surface have them together. Where the surface alone tells, it often leaves the wall
/// too gently for a place (up to 2 mm off on the independent ring scene): no toe is stated there.
void WriteToes(const Sections& sections, const Doubts& doubts, Profile& p, const HeightOptions& o) {
  for (std::size_t i = 0; i < p.theta_deg.size(); ++i) {
    const std::size_t column = ColumnAt(sections, p.theta_deg[i]);
    const auto& line = sections[column];
    p.left_toe_z_mm[i] = line.toe_left_z;
    p.right_toe_z_mm[i] = line.toe_right_z;
    p.left_toe_u_mm[i] = line.toe_left_u;
    p.right_toe_u_mm[i] = line.toe_right_u;
    if (doubts.left[column] || !(line.toe_left_u <= o.told_together_mm))
      p.left_toe_z_mm[i] = p.left_toe_u_mm[i] = kNotMeasured;
    if (doubts.right[column] || !(line.toe_right_u <= o.told_together_mm))
      p.right_toe_z_mm[i] = p.right_toe_u_mm[i] = kNotMeasured;
    p.width_mm[i] = p.right_toe_z_mm[i] - p.left_toe_z_mm[i];
    p.width_u_mm[i] = std::hypot(p.left_toe_u_mm[i], p.right_toe_u_mm[i]);
  }
}

void WriteHeights(const Sections& sections, Profile& p) {
  for (std::size_t i = 0; i < p.theta_deg.size(); ++i) {
    const auto& line = At(sections, p.theta_deg[i]);
    p.crown_height_mm[i] = line.crown;
    p.crown_height_u_mm[i] = line.crown_u;
    p.crown_over_left_mm[i] = line.crown_over_left;
    p.crown_over_right_mm[i] = line.crown_over_right;
    p.concavity_mm[i] = line.concavity;
    p.concavity_u_mm[i] = line.concavity_u;
    p.concavity_under_left_mm[i] = line.concavity_under_left;
    p.concavity_under_right_mm[i] = line.concavity_under_right;
  }
}

void WriteSteps(const Sections& sections, Profile& p) {
  for (std::size_t i = 0; i < p.theta_deg.size(); ++i) {
    const auto& line = At(sections, p.theta_deg[i]);
    p.misalignment_mm[i] = line.misalignment;
    p.misalignment_u_mm[i] = line.misalignment_u;
  }
}

void ExplainHeights(const Sections& sections, Reading& reading) {
  std::erase_if(reading.why,
                [](const Why& why) { return why.what == "crown_height_mm" || why.what == "concavity_mm"; });
  std::vector<std::string> reasons;
  for (const double theta_deg : reading.profile.theta_deg) reasons.push_back(At(sections, theta_deg).why);
  for (const char* what : {"crown_height_mm", "concavity_mm"}) Explain(what, reasons, reading);
}

void ExplainSteps(const Sections& sections, Reading& reading) {
  std::erase_if(reading.why, [](const Why& why) { return why.what == "width_mm" || why.what == "misalignment_mm"; });
  const auto n = reading.profile.theta_deg.size();
  std::vector<bool> no_walls(n, false), no_width(n, false);
  for (std::size_t i = 0; i < n; ++i) {
    const auto& line = At(sections, reading.profile.theta_deg[i]);
    no_walls[i] = !std::isfinite(line.misalignment);
    no_width[i] = !std::isfinite(reading.profile.width_mm[i]);
  }
  Explain("width_mm", no_width, "picture and surface do not tell both toes together here", reading);
  Explain("misalignment_mm", no_walls, "too little bare wall was measured beside the weld here", reading);
}

cv::Mat ReadPicture(const std::filesystem::path& file, const ReliefPicture& about, Status* broken) {
  cv::Mat picture = cv::imread(file.string(), cv::IMREAD_UNCHANGED);
  if (picture.empty() || picture.type() != CV_16UC1)
    *broken = BadInput(file.string() + " is not a 16-bit grey PNG that can be read.");
  else if (picture.cols != about.columns || picture.rows != about.rows)
    *broken = BadInput(file.string() + " differs in size from what reading.json says of the relief.");
  return picture;
}

}  // namespace

void ApplyRelief(const relief::Relief& relief, const ToesSeen& seen, Reading& reading, const HeightOptions& o) {
  assert(!o.Check());
  Profile& p = reading.profile;
  const auto by_height = relief::SectionOf(relief);
  if (!by_height.ok()) {
    reading.notes.push_back("no height was read off the relief: " + by_height.error().message);
    return;
  }
  const relief::ToeHints hints = HintsOf(p, by_height.value(), seen, relief.grid.columns, o);
  const auto sections = relief::SectionOf(relief, {}, hints);
  if (!sections.ok()) return;
  WriteToes(sections.value(), HeldAgainst(by_height.value(), hints, o), p, o);
  WriteSteps(sections.value(), p);
  ExplainSteps(sections.value(), reading);
  ApplySections(sections.value(), relief.how, reading);
}

void ApplySections(const std::vector<relief::SectionLine>& sections, relief::How how, Reading& reading) {
  Profile& p = reading.profile;
  WriteHeights(sections, p);
  ExplainHeights(sections, reading);
  const bool any = std::any_of(p.crown_height_mm.begin(), p.crown_height_mm.end(),
                               [](double value) { return std::isfinite(value); });
  if (any) reading.height_by = relief::NameOf(how);
}

Result<std::vector<relief::SectionLine>> SectionsOf(const relief::Relief& relief, const Reading& reading,
                                                    const HeightOptions& o) {
  if (auto broken = o.Check()) return *broken;
  const std::vector<relief::SectionLine> not_needed;  // the profile's toes are freed of the walls' heights already
  return relief::SectionOf(relief, {}, HintsOf(reading.profile, not_needed, {}, relief.grid.columns, o));
}

void AddReliefPictures(const relief::Relief& relief, Measured& measured) {
  const auto& grid = relief.grid;
  measured.reading.relief = ReliefPicture{"relief.png",  "relief_u.png", relief::NameOf(relief.how),
                                          grid.columns,  grid.rows,      grid.theta_pitch_deg(),
                                          grid.pitch_mm, grid.z_from_mm, relief.shared_u_mm};
  cv::Mat1w h(grid.rows, grid.columns, ushort{0}), u(grid.rows, grid.columns, ushort{0});
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      if (!std::isfinite(relief.h_mm(row, column))) continue;
      h(row, column) =
          cv::saturate_cast<ushort>(std::max(1L, std::lround(relief.h_mm(row, column) / kMillimetresPerStep) + kZero));
      u(row, column) = cv::saturate_cast<ushort>(std::lround(relief.u_mm(row, column) / kMillimetresPerStep));
    }
  measured.pictures.push_back({"relief.png", h});
  measured.pictures.push_back({"relief_u.png", u});
}

Result<relief::Relief> ReadRelief(const Reading& reading, const std::filesystem::path& folder) {
  if (!reading.relief) return NotFound("the reading has no relief: no height was measured.");
  const auto& about = *reading.relief;
  Status broken;
  const cv::Mat h = ReadPicture(folder / about.file, about, &broken),
                u = ReadPicture(folder / about.u_file, about, &broken);
  if (broken) return *broken;
  relief::Relief relief;
  relief.grid.radius_mm = reading.bore_radius_mm;
  relief.grid.pitch_mm = about.pitch_mm;
  relief.grid.z_from_mm = about.z_from_mm;
  relief.grid.rows = about.rows;
  relief.grid.columns = about.columns;
  relief.how = about.how == "travel" ? relief::How::kTravel : relief::How::kLightSection;
  relief.shared_u_mm = about.shared_u_mm;
  h.convertTo(relief.h_mm, CV_32F, kMillimetresPerStep, -kZero * kMillimetresPerStep);
  u.convertTo(relief.u_mm, CV_32F, kMillimetresPerStep);
  const float nan = std::numeric_limits<float>::quiet_NaN();
  relief.h_mm.setTo(nan, h == 0);
  relief.u_mm.setTo(nan, h == 0);
  return relief;
}

Status HeightOptions::Check() const {
  return FirstOutside("HeightOptions", {{"toe_seen_u_mm", toe_seen_u_mm, 0, 5},
                                        {"told_together_mm", told_together_mm, 0, 5},
                                        {"astray_mm", astray_mm, 0, 10},
                                        {"another_line_mm", another_line_mm, 0, 10}});
}

}  // namespace vision::reading
