#include "app/notes/notes.h"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "app/notes/kinds.h"
#include "vision/bore/angle.h"

namespace app::notes {
namespace {

using vision::bore::ArcMm;
using vision::bore::Wrap180;
using vision::bore::Wrap360;

struct Flat {
  double arc_mm = 0, z_mm = 0;
};

/// The points on the flat wall, counted from the first, so that a shape across theta 0 keeps its size.
std::vector<Flat> Flattened(const std::vector<Place>& points, double radius_mm) {
  std::vector<Flat> flat;
  double theta = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i > 0) theta += Wrap180(points[i].theta_deg - points[i - 1].theta_deg);
    flat.push_back({ArcMm(theta, radius_mm), points[i].z_mm});
  }
  return flat;
}

double PathLength(const std::vector<Flat>& flat) {
  double length = 0;
  for (std::size_t i = 1; i < flat.size(); ++i)
    length += std::hypot(flat[i].arc_mm - flat[i - 1].arc_mm, flat[i].z_mm - flat[i - 1].z_mm);
  return length;
}

/// Longest distance between two of the points, and the extent across it.
std::pair<double, double> LongestAndAcross(const std::vector<Flat>& flat) {
  double longest = 0;
  Flat along{1, 0};
  for (const Flat& a : flat)
    for (const Flat& b : flat)
      if (const double far = std::hypot(b.arc_mm - a.arc_mm, b.z_mm - a.z_mm); far > longest)
        longest = far, along = {(b.arc_mm - a.arc_mm) / far, (b.z_mm - a.z_mm) / far};
  double least = 1e300, most = -1e300;
  for (const Flat& p : flat) {
    const double across = p.z_mm * along.arc_mm - p.arc_mm * along.z_mm;
    least = std::min(least, across), most = std::max(most, across);
  }
  return {longest, most - least};
}

std::string Rounded(double theta_deg) { return std::to_string(std::lround(Wrap360(theta_deg)) % 360); }

}  // namespace

int Notes::NextId() const {
  int largest = 0;
  for (const Note& note : notes) largest = std::max(largest, note.id);
  return largest + 1;
}

const Note* Notes::Find(int id) const {
  const auto found = std::find_if(notes.begin(), notes.end(), [&](const Note& note) { return note.id == id; });
  return found == notes.end() ? nullptr : &*found;
}

const Ruling* Notes::RulingOn(const std::string& about) const {
  const auto found = std::find_if(rulings.begin(), rulings.end(), [&](const Ruling& r) { return r.about == about; });
  return found == rulings.end() ? nullptr : &*found;
}

std::string FingerprintOf(const vision::reading::UnfusedRun& run) {
  return "unfused " + run.side + " " + Rounded(run.start_deg) + "-" + Rounded(run.end_deg);
}

std::string FingerprintOf(const vision::reading::Indication& indication) {
  return indication.kind + " " + Rounded(indication.theta_deg) + " " + std::to_string(std::lround(indication.z_mm));
}

double PickU(const vision::reading::Reading& reading) {
  const double pixel = std::isfinite(reading.strip.resolution_mm) ? reading.strip.resolution_mm : 0.5;
  return std::max(pixel, reading.strip.pitch_mm) / std::sqrt(3.0);
}

Extent ExtentOf(const Note& note, const vision::reading::Reading& reading) {
  Extent extent;
  if (note.points.size() < 2) return extent;
  const auto flat = Flattened(note.points, reading.bore_radius_mm);
  if (note.shape == Shape::kLine) {
    extent.length_mm = PathLength(flat);
  } else if (note.shape == Shape::kBox) {
    const double arc = std::abs(flat[1].arc_mm - flat[0].arc_mm), z = std::abs(flat[1].z_mm - flat[0].z_mm);
    extent.length_mm = std::max(arc, z), extent.width_mm = std::min(arc, z);
  } else if (note.shape == Shape::kOutline) {
    std::tie(extent.length_mm, extent.width_mm) = LongestAndAcross(flat);
  }
  double scale_u = reading.bore_radius_u_mm / reading.bore_radius_mm;
  for (const auto& pose : reading.poses)
    if (std::isfinite(pose.offset_u_mm)) scale_u = std::max(scale_u, pose.offset_u_mm / reading.bore_radius_mm);
  const double ends_u = std::sqrt(2.0) * PickU(reading);
  extent.length_u_mm = std::hypot(ends_u, scale_u * extent.length_mm);
  extent.width_u_mm = std::hypot(ends_u, scale_u * extent.width_mm);
  if (!std::isfinite(extent.length_mm)) extent.length_u_mm = vision::reading::kNotMeasured;
  if (!std::isfinite(extent.width_mm)) extent.width_u_mm = vision::reading::kNotMeasured;
  return extent;
}

vision::Status Check(const Note& note) {
  const std::string which = "note " + std::to_string(note.id);
  if (note.id < 1) return vision::BadInput(which + ": id must be 1 or more.");
  if (!FindKind(note.kind)) return vision::BadInput(which + ": kind \"" + note.kind + "\" is not one of the list.");
  const std::size_t count = note.points.size();
  const bool enough = note.shape == Shape::kLine      ? count >= 2
                      : note.shape == Shape::kBox     ? count == 2
                      : note.shape == Shape::kOutline ? count >= 3
                                                      : count == 1;
  if (!enough)
    return vision::BadInput(which + ": a " + NameOf(note.shape) + " cannot have " + std::to_string(count) + " points.");
  for (const Place& place : note.points)
    if (!std::isfinite(place.theta_deg) || !std::isfinite(place.z_mm))
      return vision::BadInput(which + ": every point needs a theta_deg and a z_mm.");
  if (note.status == Status::kRejected && note.reason.empty())
    return vision::BadInput(which + ": a rejected note needs a reason.");
  if (note.shape == Shape::kText && note.text.empty()) return vision::BadInput(which + ": text must not be empty.");
  return std::nullopt;
}

}  // namespace app::notes
