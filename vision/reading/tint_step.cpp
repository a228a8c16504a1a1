#include "vision/reading/tint_step.h"

#include <algorithm>
#include <cmath>

#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"
#include "vision/bore/stations.h"
#include "vision/reading/explain.h"
#include "vision/recording/decode.h"
#include "vision/tint/tint.h"

namespace vision::reading {
namespace {

/// White of each recording that has a target which can serve.
Result<std::vector<std::optional<tint::White>>> Whites(const MeasureInput& input, Reading& reading) {
  std::vector<std::optional<tint::White>> whites(input.recordings.size());
  for (std::size_t i = 0; i < whites.size(); ++i) {
    const auto& target = input.recordings[i].white;
    if (!target) continue;
    const auto picture = recording::ReadPicture(target->file);
    if (!picture.ok())
      return BadInput("white.file of recording " + input.recordings[i].id +
                      " must be a picture of its white target: " + picture.error().message);
    auto white = tint::WhiteOf(cv::Mat3b(picture.value()), target->box_px);
    if (white.ok())
      whites[i] = white.value();
    else
      reading.notes.push_back({Says::kWhiteCannotServe, {input.recordings[i].id, SaidBy(white.error())}});
  }
  return whites;
}

double MedianU(std::vector<double> u_mm) {
  std::erase_if(u_mm, [](double u) { return !std::isfinite(u); });
  return u_mm.empty() ? 0 : Median(std::move(u_mm));
}

TintRun RunOf(const tint::Side& told, const bore::Arc& arc, const std::string& side, tint::Shade shade) {
  TintRun run{arc.start_deg, arc.closing_deg(), side, tint::NameOf(shade), 0, 0};
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    if (arc.HoldsLine(0.5 * static_cast<double>(i)) && told.reach_mm[i] >= run.reach_mm)
      run.reach_mm = told.reach_mm[i], run.reach_u_mm = told.reach_u_mm[i];
  return run;
}

/// Purple, blue and hotter, as a place to look at: gaps of `bridge_deg` do not part it.
void AddHotFlags(const tint::Side& told, bool left, Reading& reading, const TintRunOptions& o) {
  std::vector<bool> hot(bore::kStationLines);
  for (std::size_t i = 0; i < bore::kStationLines; ++i)
    hot[i] = told.shade[i] && *told.shade[i] >= tint::Shade::kBluePurple;
  bore::FillGaps(o.bridge_deg, &hot);
  for (const auto& arc : bore::RunsOnCircle(hot)) {
    if (arc.length_deg < o.least_flag_deg) continue;
    reading.flags.push_back({"heat_tint", arc.start_deg, arc.closing_deg(), {left ? Says::kHotA : Says::kHotB}});
  }
}

void AddRuns(const tint::Side& told, const std::string& side, Reading& reading, const TintRunOptions& o) {
  for (const auto shade : {tint::Shade::kStraw, tint::Shade::kBluePurple, tint::Shade::kGreyMatt}) {
    std::vector<bool> flags(bore::kStationLines);
    for (std::size_t i = 0; i < bore::kStationLines; ++i) flags[i] = told.shade[i] == shade;
    for (const auto& arc : bore::RunsOnCircle(flags)) {
      if (arc.length_deg < o.least_run_deg) continue;
      reading.tint->runs.push_back(RunOf(told, arc, side, shade));
    }
  }
}

double AssessedDeg(const tint::Side& told) {
  return bore::kStationLine_deg * static_cast<double>(std::count_if(told.shade.begin(), told.shade.end(),
                                                                    [](const auto& s) { return s.has_value(); }));
}

}  // namespace

Status AssessColour(const MeasureInput& input, const std::vector<Look>& looks, const unroll::Strip& strip,
                    Reading& reading, const JobContext& job, const TintRunOptions& o) {
  if (auto broken = o.Check()) return broken;
  auto whites = Whites(input, reading);
  if (!whites.ok()) return whites.error();
  std::vector<std::optional<tint::White>> of_frame;
  for (const Look& look : looks)
    of_frame.push_back(look.recording ? whites.value()[*look.recording] : std::optional<tint::White>());
  if (std::none_of(of_frame.begin(), of_frame.end(), [](const auto& white) { return white.has_value(); })) {
    reading.why.push_back({"heat_tint", 0, 360, {Says::kNoWhite}});
    return std::nullopt;
  }
  const Profile& profile = reading.profile;
  const double toe_u_mm = std::max(MedianU(profile.left_toe_u_mm), MedianU(profile.right_toe_u_mm));
  auto told = tint::AssessTint(strip, profile.left_toe_z_mm, profile.right_toe_z_mm, toe_u_mm, of_frame, {}, job);
  if (!told.ok()) return told.error();
  reading.tint.emplace();
  reading.tint->against = WordsOf(told.value().bare_seen ? Says::kWhiteAndMetal : Says::kWhite);
  AddRuns(told.value().left, "left", reading, o);
  AddRuns(told.value().right, "right", reading, o);
  AddHotFlags(told.value().left, true, reading, o);
  AddHotFlags(told.value().right, false, reading, o);
  reading.tint->left_deg = AssessedDeg(told.value().left);
  reading.tint->right_deg = AssessedDeg(told.value().right);
  Explain("heat_tint_left", told.value().left.why, reading);
  Explain("heat_tint_right", told.value().right.why, reading);
  return std::nullopt;
}

Status TintRunOptions::Check() const {
  return FirstOutside("TintRunOptions", {{"least_run_deg", least_run_deg, 0, 180},
                                         {"least_flag_deg", least_flag_deg, 0, 180},
                                         {"bridge_deg", bridge_deg, 0, 180}});
}

}  // namespace vision::reading
