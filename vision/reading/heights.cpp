#include "vision/reading/heights.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <opencv2/imgcodecs.hpp>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"

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

/// A toe's places and uncertainties round the bore, NaN where none is known.
struct ToeRing {
  std::vector<double> z_mm, u_mm;
};

ToeRing RingOf(const Told& told, bore::Piece piece) {
  ToeRing ring;
  for (const ToldLine& line : told.lines) {
    const auto& toe = line.toe_z_mm[piece];
    ring.z_mm.push_back(OrNan(toe)), ring.u_mm.push_back(toe.u());
  }
  return ring;
}

/// The toes, one a relief column; the walls' heights known, their shift by the view is taken out (no walls: it is out
/// already).
relief::ToeHints HintsOf(const ToeRing& left, const ToeRing& right, const Sections& walls, const ToesSeen& seen,
                         int columns, const HeightOptions& o) {
  relief::ToeHints hints;
  for (int c = 0; c < columns; ++c) {
    const double theta = 360.0 * c / columns;
    const auto i =
        static_cast<std::size_t>(std::lround(theta / 360 * static_cast<double>(left.z_mm.size()))) % left.z_mm.size();
    double left_z = left.z_mm[i], right_z = right.z_mm[i];
    if (!walls.empty()) {
      const auto& line = At(walls, theta);
      if (std::isfinite(line.wall_left)) left_z -= seen.shift_per_height * line.wall_left;
      if (std::isfinite(line.wall_right)) right_z -= seen.shift_per_height * line.wall_right;
    }
    hints.left_z_mm.push_back(left_z);
    hints.right_z_mm.push_back(right_z);
    hints.left_u_mm.push_back(std::fmax(o.toe_seen_u_mm, left.u_mm[i]));  // fmax: a NaN gives way
    hints.right_u_mm.push_back(std::fmax(o.toe_seen_u_mm, right.u_mm[i]));
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
using Doubts = bore::Pieces<std::vector<bool>>;

Doubts HeldAgainst(const Sections& by_height, const relief::ToeHints& hints, const HeightOptions& o) {
  std::vector<double> left, right;
  for (const auto& line : by_height) {
    left.push_back(line.toe_left_z);
    right.push_back(line.toe_right_z);
  }
  return {InDoubt(left, hints.left_z_mm, o), InDoubt(right, hints.right_z_mm, o)};
}

Stated<double> Finite(double value, double u, const Reason& why) {
  return std::isfinite(value) ? Stated<double>::Of(value, u) : Stated<double>::Not(why);
}

Stated<RootHeight> Finite(const RootHeight& height, double u, const Reason& why) {
  return std::isfinite(height.chord_mm) ? Stated<RootHeight>::Of(height, u) : Stated<RootHeight>::Not(why);
}

/// A toe as picture and surface have it together. Where the surface alone tells, it often leaves the wall too gently
/// for a place (up to 2 mm off on the independent ring scene): none is told there.
Stated<double> ToeTogether(double z_mm, double u_mm, bool doubt, const HeightOptions& o) {
  const bool told = !doubt && u_mm <= o.told_together_mm;
  return Finite(told ? z_mm : kNotMeasured, u_mm, {Says::kToesNotTogether});
}

ToldLine BySurface(const Sections& sections, const Doubts& doubts, double theta_deg, const HeightOptions& o) {
  const std::size_t column = ColumnAt(sections, theta_deg);
  const relief::SectionLine& line = sections[column];
  ToldLine out;
  out.toe_z_mm = {ToeTogether(line.toe_left_z, line.toe_left_u, doubts.a[column], o),
                  ToeTogether(line.toe_right_z, line.toe_right_u, doubts.b[column], o)};
  const auto& [left, right] = out.toe_z_mm;
  out.width_mm = left.told() && right.told()
                     ? Stated<double>::Of(right.value() - left.value(), std::hypot(left.u(), right.u()))
                     : Stated<double>::Not(left.told() ? right.why() : left.why());
  out.misalignment_mm = Finite(line.misalignment, line.misalignment_u, {Says::kFewBareWall});
  return out;
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

Told WithRelief(Told told, const relief::Relief& relief, const ToesSeen& seen, std::vector<Sentence>& notes,
                const HeightOptions& o) {
  assert(!o.Check());
  const auto by_height = relief::SectionOf(relief);
  if (!by_height.ok()) {
    notes.push_back({Says::kNoHeightOffRelief, {SaidBy(by_height.error())}});
    return told;
  }
  const relief::ToeHints hints = HintsOf(RingOf(told, bore::Piece::kA), RingOf(told, bore::Piece::kB),
                                         by_height.value(), seen, relief.grid.columns, o);
  const auto sections = relief::SectionOf(relief, {}, hints);
  if (!sections.ok()) return told;
  const Doubts doubts = HeldAgainst(by_height.value(), hints, o);
  for (std::size_t i = 0; i < told.lines.size(); ++i)
    told.lines[i] = BySurface(sections.value(), doubts, bore::kStationLine_deg * static_cast<double>(i), o);
  told.step_by_travel = false;
  return WithSections(std::move(told), sections.value(), relief.how);
}

Told WithSections(Told told, const std::vector<relief::SectionLine>& sections, relief::How how) {
  bool any = false;
  for (std::size_t i = 0; i < told.lines.size(); ++i) {
    const auto& line = At(sections, bore::kStationLine_deg * static_cast<double>(i));
    told.lines[i].crown = Finite({line.crown, line.crown_over_left, line.crown_over_right}, line.crown_u, line.why);
    told.lines[i].concavity =
        Finite({line.concavity, line.concavity_under_left, line.concavity_under_right}, line.concavity_u, line.why);
    any = any || told.lines[i].crown.told();
  }
  if (any) told.heights_by = relief::NameOf(how);
  return told;
}

Result<std::vector<relief::SectionLine>> SectionsOf(const relief::Relief& relief, const Reading& reading,
                                                    const HeightOptions& o) {
  if (auto broken = o.Check()) return *broken;
  const std::vector<relief::SectionLine> not_needed;  // the profile's toes are freed of the walls' heights already
  const Profile& p = reading.profile;
  return relief::SectionOf(relief, {},
                           HintsOf({p.left_toe_z_mm, p.left_toe_u_mm}, {p.right_toe_z_mm, p.right_toe_u_mm}, not_needed,
                                   {}, relief.grid.columns, o));
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
