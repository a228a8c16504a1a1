#include <algorithm>
#include <cmath>

#include "app/notes/kinds.h"
#include "app/notes/notes.h"
#include "app/notes/span.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/reading/by_hand.h"

namespace app::notes {
namespace {

using vision::reading::Reading;

std::string Who(const Signed& by) { return by.author.empty() ? "a person" : by.author; }

void Flag(Reading& reading, double start_deg, double end_deg, const vision::Sentence& text) {
  reading.flags.push_back({"by_hand", vision::bore::Wrap360(start_deg), vision::bore::Wrap360(end_deg), text});
  reading.notes.push_back(text);
}

void ApplyToe(const HandToe& toe, Reading& reading) {
  std::vector<vision::reading::ToePlace> points;
  for (const Place& place : toe.points) points.push_back({place.theta_deg, place.z_mm});
  vision::reading::MoveToe(reading, toe.side == "left", points, HandUOf(toe, reading).u_mm);
  Flag(reading, toe.points.front().theta_deg, toe.points.back().theta_deg,
       {vision::Says::kToeByHand, {toe.side == "left" ? reading.piece_a : reading.piece_b, Who(toe.by), toe.by.time}});
}

/// An edge that a person saw and accepted is unfused over its span, on the side nearer to it.
void AddSeenEdge(const Note& note, Reading& reading) {
  double z = 0;
  for (const Place& place : note.points) z += place.z_mm / static_cast<double>(note.points.size());
  const auto [start, end] = SpanOf(note);
  vision::reading::UnfusedRun run;
  run.start_deg = vision::bore::Wrap360(start), run.end_deg = vision::bore::Wrap360(end);
  run.side = z < 0 ? "left" : "right";
  run.confidence = 1;
  run.arc_mm = vision::bore::ArcMm(end - start, reading.bore_radius_mm);
  run.arc_u_mm = std::sqrt(2.0) * PickU(reading);
  auto& states = run.side == "left" ? reading.profile.fusion_left : reading.profile.fusion_right;
  const vision::bore::Arc arc{run.start_deg, end - start};
  for (std::size_t i = 0; i < states.size(); ++i)
    if (arc.Contains(reading.profile.theta_deg[i])) states[i] = vision::reading::Fusion::kUnfused;
  reading.unfused.push_back(run);
}

void AddAccepted(const Note& note, Reading& reading) {
  if (!Counts(note)) return;
  const Kind* kind = FindKind(note.kind);
  const auto [start, end] = SpanOf(note);
  if (IsEdge(note)) {
    AddSeenEdge(note, reading);
  } else {
    const Extent extent = ExtentOf(note, reading);
    vision::reading::Indication seen;
    seen.kind = kind->judged_as, seen.iso6520 = kind->iso6520;
    seen.theta_deg = vision::bore::Wrap360((start + end) / 2), seen.z_mm = note.points.front().z_mm;
    seen.length_mm = extent.length_mm, seen.length_u_mm = extent.length_u_mm;
    seen.width_mm = extent.width_mm, seen.width_u_mm = extent.width_u_mm;
    seen.confidence = 1;
    reading.indications.push_back(seen);
  }
  Flag(reading, start, end, {vision::Says::kSeenAndAccepted, {Who(note.by), note.by.time, std::string(kind->name)}});
}

}  // namespace

std::pair<double, double> SpanOf(const Note& note) {
  double theta = note.points.front().theta_deg, least = theta, most = theta;
  for (std::size_t i = 1; i < note.points.size(); ++i) {
    theta += vision::bore::Wrap180(note.points[i].theta_deg - note.points[i - 1].theta_deg);
    least = std::min(least, theta), most = std::max(most, theta);
  }
  return {least, most};
}

bool IsEdge(const Note& note) { return note.kind == "lack_of_root_fusion"; }

bool Counts(const Note& note) {
  const Kind* kind = FindKind(note.kind);
  return note.status == Status::kAccepted && kind && !kind->marked_place && (IsEdge(note) || !kind->judged_as.empty());
}

Reading Edited(const Reading& measured, const Notes& notes) {
  Reading reading = measured;
  for (const HandToe& toe : notes.toes) ApplyToe(toe, reading);
  for (const Note& note : notes.notes) AddAccepted(note, reading);
  return reading;
}

}  // namespace app::notes
