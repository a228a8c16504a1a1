#include "app/viewer/listed.h"

#include <cmath>

#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

using vision::reading::Reading;

double MiddleZ(const std::vector<double>& toe, double start_deg, double end_deg) {
  if (toe.empty()) return 0;
  const double middle = vision::bore::Wrap360(start_deg + vision::bore::Wrap360(end_deg - start_deg) / 2);
  const double z = toe[static_cast<std::size_t>(middle / 360 * static_cast<double>(toe.size())) % toe.size()];
  return std::isfinite(z) ? z : 0;
}

Listed OfNote(const notes::Note& note, Listed::Sort sort) {
  Listed thing;
  thing.sort = sort, thing.note_id = note.id;
  thing.start_deg = note.points.front().theta_deg, thing.end_deg = note.points.back().theta_deg;
  thing.z_mm = note.points.front().z_mm;
  return thing;
}

void AddNotes(const known::Known& known, bool marked, std::vector<Listed>& things) {
  for (const auto& seen : known.seen)
    if (seen.marked_place == marked)
      things.push_back(OfNote(seen.note, marked ? Listed::Sort::kMarkedPlace : Listed::Sort::kNote));
}

/// What was measured; what a person saw is in the list as the note it is.
void AddMeasured(const known::Known& known, std::vector<Listed>& things) {
  const auto& profile = known.measured.profile;
  for (std::size_t i = 0; i < known.runs.size(); ++i) {
    const auto& [run, measured, decided, about] = known.runs[i];
    if (!measured) continue;
    const auto& toe = run.side == "left" ? profile.left_toe_z_mm : profile.right_toe_z_mm;
    things.push_back({Listed::Sort::kUnfused, run.start_deg, run.end_deg, MiddleZ(toe, run.start_deg, run.end_deg),
                      run.side, about, 0, static_cast<int>(i), decided});
  }
  for (std::size_t i = 0; i < known.found.size(); ++i) {
    const auto& [one, measured, decided, about] = known.found[i];
    if (!measured) continue;
    things.push_back({Listed::Sort::kIndication,
                      one.theta_deg,
                      one.theta_deg,
                      one.z_mm,
                      {},
                      about,
                      0,
                      static_cast<int>(i),
                      decided});
  }
}

void AddNotExamined(const Reading& measured, std::vector<Listed>& things) {
  for (const char* side : {"left", "right"}) {
    const auto& states = side[0] == 'l' ? measured.profile.fusion_left : measured.profile.fusion_right;
    std::vector<bool> dark(states.size());
    for (std::size_t i = 0; i < dark.size(); ++i) dark[i] = states[i] == vision::reading::Fusion::kNotVisible;
    for (const auto& arc : vision::bore::RunsOnCircle(dark))
      if (arc.length_deg >= 2)
        things.push_back({Listed::Sort::kNotExamined,
                          arc.start_deg,
                          arc.length_deg >= 360 ? arc.start_deg + 360 : arc.end_deg(),
                          0,
                          side,
                          {},
                          0,
                          0});
  }
}

}  // namespace

std::vector<Listed> ListedIn(const known::Known& known, const std::vector<vision::arc::Stop>& stops) {
  const Reading& measured = known.measured;
  std::vector<Listed> things;
  AddNotes(known, true, things);
  for (std::size_t i = 0; i < stops.size(); ++i) {
    const double theta = vision::bore::Wrap360(stops[i].theta_deg);
    things.push_back({Listed::Sort::kStop, theta, theta, 0, {}, {}, 0, static_cast<int>(i)});
  }
  AddMeasured(known, things);
  AddNotes(known, false, things);
  for (std::size_t i = 0; i < known.toes.size(); ++i) {
    const auto& toe = known.toes[i].set;
    things.push_back({Listed::Sort::kHandToe,
                      toe.points.front().theta_deg,
                      toe.points.back().theta_deg,
                      toe.points.front().z_mm,
                      toe.side,
                      {},
                      0,
                      static_cast<int>(i),
                      known.toes[i].decided});
  }
  for (std::size_t i = 0; i < measured.flags.size(); ++i)
    things.push_back({Listed::Sort::kFlag,
                      measured.flags[i].start_deg,
                      measured.flags[i].end_deg,
                      0,
                      {},
                      {},
                      0,
                      static_cast<int>(i)});
  AddNotExamined(measured, things);
  return things;
}

}  // namespace app::viewer
