#include "vision/reading/measure.h"

#include <algorithm>
#include <cmath>

#include "vision/base/median.h"
#include "vision/base/says.h"
#include "vision/bore/stations.h"
#include "vision/pose/stand_reader.h"
#include "vision/reading/bore_rings.h"
#include "vision/reading/combine.h"
#include "vision/reading/explain.h"
#include "vision/reading/eye_only.h"
#include "vision/reading/flat.h"
#include "vision/reading/gather.h"
#include "vision/reading/heights.h"
#include "vision/reading/lay_together.h"
#include "vision/reading/light_look.h"
#include "vision/reading/look.h"
#include "vision/reading/ovality.h"
#include "vision/reading/pictures.h"
#include "vision/reading/push.h"
#include "vision/reading/rig.h"
#include "vision/reading/state.h"
#include "vision/reading/surface_step.h"
#include "vision/reading/tint_step.h"
#include "vision/reading/travel_step.h"
#include "vision/recording/frame_source.h"

namespace vision::reading {
namespace {

FramePose PoseRecord(const Look& look) {
  FramePose record;
  const auto& t = look.pose.bore_from_cam.translation_mm;
  record.file = look.name;
  record.offset_x_mm = t.x();
  record.offset_y_mm = t.y();
  record.offset_u_mm = look.pose.offset_u_mm();
  record.distance_to_weld_mm = std::abs(t.z());
  record.distance_u_mm = look.pose.z_u_mm();
  record.tilt_deg = look.pose.tilt_deg();
  record.tilt_u_deg = look.pose.tilt_u_deg();
  if (look.pose.axis_told) record.axis_azimuth_deg = look.pose.bore_from_cam.axis_azimuth_deg();
  record.residual_px = look.pose.residual_px;
  record.facing = pose::NameOf(look.facing);
  record.how = look.pose.how;
  return record;
}

Reading Head(const MeasureInput& input) {
  Reading reading;
  reading.program_version = ROOTSCROLL_VERSION;
  reading.joint_id = input.joint_id;
  reading.bore_radius_mm = input.bore.radius_mm;
  reading.bore_radius_u_mm = input.bore.radius_u_mm;
  reading.calibrated = input.calibrated;
  reading.calibration_note = input.calibration_note;
  reading.piece_a = input.piece_a;
  reading.piece_b = input.piece_b;
  reading.insert_width_mm = input.insert_width_mm;
  reading.profile.Resize(bore::kStationLines);
  return reading;
}

std::size_t EndOfRecording(const std::vector<Waiting>& waiting, std::size_t begin) {
  std::size_t end = begin;
  while (end < waiting.size() && waiting[end].recording == waiting[begin].recording) ++end;
  return end;
}

bool StartsPush(const std::vector<Waiting>& waiting, std::size_t begin, std::size_t end) {
  const bool starts = begin == 0 || waiting[begin - 1].recording != waiting[begin].recording;
  return starts && MayBePush(waiting.data() + begin, waiting.data() + end);
}

void Keep(std::vector<Look>&& taken, std::size_t recording, std::vector<Look>& looks) {
  for (Look& look : taken) look.recording = recording;
  std::move(taken.begin(), taken.end(), std::back_inserter(looks));
}

std::optional<pose::Pose> BestOf(const Waiting& refused) {
  return refused.sought ? refused.sought->best : std::nullopt;
}

/// The cameras of one head, frames `begin` to `end`; a head whose place is not found is a note.
Status KeepShot(std::vector<Waiting>& waiting, std::size_t begin, std::size_t end, const MeasureInput& input,
                const MeasureOptions& options, Reading& reading, const JobContext& job, std::vector<Look>& looks,
                std::optional<EyeOnly>& refused) {
  auto shot = TakeShot(waiting, begin, end, input, options, reading, job);
  if (shot.ok())
    Keep(std::move(shot).value(), waiting[begin].recording, looks);
  else if (shot.error().code != ErrorCode::kNotFound)
    return shot.error();
  else
    reading.notes.push_back({Says::kShotRefused, {*waiting[begin].setting.shot, SaidBy(shot.error())}});
  if (!shot.ok() && !refused && waiting[begin].frame)
    refused = EyeOnly{*waiting[begin].frame, waiting[begin].setting, SaidBy(shot.error()), BestOf(waiting[begin])};
  return std::nullopt;
}

/// What all frames gave.
struct Taken {
  std::vector<Look> looks;
  std::optional<EyeOnly> refused;  ///< The first frame refused, kept for the eye.
  std::vector<Push> pushes;        ///< Their looks are among `looks`.
};

/// Looks of every frame that could be used. A frame refused is a note; a file that cannot be read ends the run.
Result<Taken> TakeLooks(std::vector<Waiting>& waiting, const MeasureInput& input, const MeasureOptions& options,
                        Reading& reading, const JobContext& job) {
  Taken taken;
  auto& [looks, refused, pushes] = taken;
  for (std::size_t i = 0; i < waiting.size(); ++i) {
    if (job.Cancelled()) return Cancelled();
    if (const std::size_t end = EndOfShot(waiting, i); end > i) {
      if (auto failed = KeepShot(waiting, i, end, input, options, reading, job, looks, refused)) return *failed;
      i = end - 1;
      continue;
    }
    if (const std::size_t end = EndOfRecording(waiting, i); StartsPush(waiting, i, end)) {
      const auto part = job.Part(static_cast<double>(i) / static_cast<double>(waiting.size()),
                                 static_cast<double>(end) / static_cast<double>(waiting.size()));
      auto push = TakePush(waiting, i, end, input, options, reading, part);
      if (!push.ok()) return push.error();
      if (push.value()) {
        Keep(std::move(push.value()->looks), waiting[i].recording, looks);
        pushes.push_back(std::move(*push.value()));
        for (; i + 1 < end; ++i) waiting[i].frame.reset();
        waiting[i].frame.reset();
        continue;
      }
    }
    job.Report(static_cast<double>(i) / static_cast<double>(waiting.size()),
               "measuring frame " + std::to_string(i + 1) + " of " + std::to_string(waiting.size()));
    auto& next = waiting[i];
    if (auto failed = Decode(next)) return *failed;
    auto look = TakeLook(*next.frame, next.setting, input, options, job, next.sought);
    if (look.ok()) {
      looks.push_back(std::move(look).value());
      looks.back().recording = next.recording;
    } else if (look.error().code != ErrorCode::kNotFound) {
      return look.error();
    } else {
      reading.notes.push_back({Says::kRefused, {next.frame->name, SaidBy(look.error())}});
      if (!refused) refused = EyeOnly{*next.frame, next.setting, SaidBy(look.error()), BestOf(next)};
    }
    next.frame.reset();
  }
  return taken;
}

void NoteNoHeights(const std::string& recording, const Reason& why, Reading& reading) {
  reading.notes.push_back({Says::kNoHeights, {recording, why}});
}

/// The recording with a plane of light, where there is one; why it gives nothing is a note.
Result<std::optional<LightLook>> TakeLight(const MeasureInput& input, const MeasureOptions& options, Reading& reading,
                                           const JobContext& job) {
  std::optional<LightLook> light;
  for (const auto& recording : input.recordings) {
    if (!recording.light_section) continue;
    if (light) {
      reading.notes.push_back({Says::kSecondLight, {recording.id}});
      continue;
    }
    if (recording.frames.size() > static_cast<std::size_t>(options.max_frames))
      return BadInput("recording " + recording.id + " holds more than " + std::to_string(options.max_frames) +
                      " frames; one run takes at most that many.");
    auto taken = TakeLightLook(recording, input, options, job);
    if (taken.ok()) {
      light = std::move(taken).value();
      if (!recording.frames.front().up_theta_deg && reading.angles == "joint") {
        reading.angles = "relative";
        reading.notes.push_back({Says::kUpNotGiven});
      }
      for (const auto& note : light->section.notes) reading.notes.push_back(note);
      if (light->no_heights) NoteNoHeights(recording.id, *light->no_heights, reading);
    } else if (taken.error().code == ErrorCode::kNotFound) {
      NoteNoHeights(recording.id, SaidBy(taken.error()), reading);
    } else {
      return taken.error();
    }
  }
  return light;
}

/// What lies round the bore beside the weld, in words too: nobody is to take it for a toe.
void AddRings(const std::vector<Look>& looks, const Told& told, Reading& reading) {
  reading.rings = RingsOf(looks, JointFromLook(looks.front(), told));
  for (const BoreRing& ring : reading.rings)
    reading.notes.push_back(
        {Says::kCircle, {Rounded(std::abs(ring.z_mm)), ring.z_mm < 0 ? reading.piece_a : reading.piece_b}});
}

/// What the looks tell, with the light look's relief, in the joint's z.
Told WithLight(Told told, const LightLook& light, const MeasureInput& input, Measured& measured) {
  const auto& relief = light.section.relief;
  const double along = light.look.facing == pose::Facing::kMinusZ ? -1 : 1;
  const double per_height = along * light.look.distance_mm() / input.bore.radius_mm;
  told = WithRelief(std::move(told), relief, {per_height}, measured.reading.notes);
  AddReliefPictures(relief, measured);
  return told;
}

void NoteRighted(const std::vector<Waiting>& waiting, Reading& reading) {
  const auto interlaced = std::count_if(waiting.begin(), waiting.end(), [](const Waiting& w) { return w.interlaced; });
  const auto mirrored =
      std::count_if(waiting.begin(), waiting.end(), [](const Waiting& w) { return w.setting.mirrored; });
  if (interlaced > 0) reading.notes.push_back({Says::kInterlaced, {std::to_string(interlaced)}});
  if (mirrored > 0) reading.notes.push_back({Says::kMirrored, {std::to_string(mirrored)}});
}

/// Whatever makes the looks disagree about where theta 0 is.
void CheckAngles(const std::vector<Waiting>& waiting, std::vector<Look>& looks, Reading& reading) {
  const auto given = [](const Waiting& w) { return w.setting.up_theta_deg || w.setting.known_pose; };
  const bool known = std::all_of(waiting.begin(), waiting.end(), [&](const Waiting& w) {
    return given(w) || std::any_of(waiting.begin(), waiting.end(), [&](const Waiting& other) {
             return w.setting.shot && other.setting.shot == w.setting.shot && other.recording == w.recording &&
                    given(other);
           });
  });
  if (known) return;
  reading.angles = "relative";
  reading.notes.push_back({Says::kUpNotGiven});
  const bool together =
      std::all_of(looks.begin(), looks.end(), [](const Look& look) { return look.levels.has_value(); });
  if (looks.size() > 1 && !(together && waiting.front().recording == waiting.back().recording)) {
    looks.resize(1);
    reading.notes.push_back({Says::kFirstFrameOnly});
  }
}

/// The light's look among the others; where a roll is unknown it would stand at angles of its own.
void JoinLight(std::optional<LightLook>& light, std::vector<Look>& looks, Reading& reading) {
  if (!light) return;
  if (reading.angles == "relative" && !looks.empty()) {
    light.reset();
    reading.notes.push_back({Says::kLightLeftOut});
    return;
  }
  looks.push_back(light->look);
}

Withheld WithheldFor(const MeasureOptions& options, const Reading& reading) {
  return {options.max_expanded_uncertainty_mm, reading.strip.resolution_mm,
          bore::OfEachPiece([&](bore::Piece piece) { return LinesUnderScale(reading, piece); })};
}

}  // namespace

Status MeasureOptions::Check() const {
  if (!(pitch_mm >= 0.02 && pitch_mm <= 1))
    return BadInput("MeasureOptions::pitch_mm is " + std::to_string(pitch_mm) + "; it must be 0.02 to 1 mm.");
  if (!(zone_mm > 0 && zone_mm < 100)) return BadInput("MeasureOptions::zone_mm must be above 0 and below 100 mm.");
  if (!(bead_half_mm > 0 && bead_half_mm < 100))
    return BadInput("MeasureOptions::bead_half_mm must be above 0 and below 100 mm.");
  if (!(coarsest_for_fusion_mm > 0)) return BadInput("MeasureOptions::coarsest_for_fusion_mm must be > 0 mm.");
  if (video_frames < 1 || video_frames > 200) return BadInput("MeasureOptions::video_frames must be 1 to 200.");
  if (!(usual_width_share > 0 && usual_width_share <= 1))
    return BadInput("MeasureOptions::usual_width_share must be above 0 and at most 1.");
  if (!(most_unseen_share >= 0 && most_unseen_share <= 1))
    return BadInput("MeasureOptions::most_unseen_share must be in [0, 1].");
  if (!(most_lean_for_heights_deg > 0 && most_lean_for_heights_deg <= 90))
    return BadInput("MeasureOptions::most_lean_for_heights_deg must be above 0 and at most 90 degrees.");
  if (max_frames < 1) return BadInput("MeasureOptions::max_frames must be > 0.");
  return max_expanded_uncertainty_mm.Check();
}

namespace {

void NothingMeasured(bool no_frames, Reading& reading) {
  const Reason reason{no_frames ? Says::kNoFrame : Says::kNoWeld};
  for (const char* what :
       {"width_mm", "fusion_left", "fusion_right", "crown_height_mm", "concavity_mm", "misalignment_mm"})
    reading.why.push_back({what, 0, 360, reason});
}

}  // namespace

Result<Measured> Measure(const MeasureInput& input, const MeasureOptions& options, const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (!(input.bore.radius_mm > 1 && input.bore.radius_mm < 5000))
    return BadInput("The bore's radius is " + std::to_string(input.bore.radius_mm) + " mm; it must be above 1 mm.");
  if (input.recordings.empty()) return BadInput("No recording was named.");
  Measured measured{Head(input), {}};
  Reading& reading = measured.reading;
  auto waiting = Gather(input, options, reading, job.Part(0, 0.1));
  if (!waiting.ok()) return waiting.error();
  auto taken = TakeLooks(waiting.value(), input, options, reading, job.Part(0.1, 0.8));
  if (!taken.ok()) return taken.error();
  auto& [looks, refused, pushes] = taken.value();
  auto light = TakeLight(input, options, reading, job.Part(0.5, 0.8));
  if (!light.ok()) return light.error();
  NoteRighted(waiting.value(), reading);
  CheckAngles(waiting.value(), looks, reading);
  JoinLight(light.value(), looks, reading);
  if (looks.empty()) {
    NothingMeasured(waiting.value().empty(), reading);
    if (refused)
      if (auto failed = AddEyeOnly(*refused, input, options, job, measured)) return *failed;
    return measured;
  }
  reading.weld_found = true;
  reading.read_by = evidence::TheModel().NamedInFull() + ", " + pose::StandReaderNamed();
  reading.z_zero = WordsOf(Says::kMeanOfToes);
  LayTogether(looks, reading);
  for (const Look& look : looks)
    if (!light.value() || look.name != light.value()->look.name) reading.poses.push_back(PoseRecord(look));
  if (light.value())
    reading.poses.insert(reading.poses.end(), light.value()->poses.begin(), light.value()->poses.end());
  Told told = TellByLooks(looks, input);
  AddRings(looks, told, reading);
  if (pushes.size() == 1 && AllOfOnePush(looks))
    if (const auto ovality = OvalityOf(pushes.front().solution.levels)) reading.notes.push_back(SentenceOf(*ovality));
  auto laid = LayFlat(looks);
  if (!laid.ok()) return laid.error();
  auto& [strips, merged, first_grid] = laid.value();
  PutInJoint(told, looks, laid.value(), light.value() ? &*light.value() : nullptr);
  const bool heights_by_light = light.value() && !light.value()->no_heights;
  if (heights_by_light) told = WithLight(std::move(told), *light.value(), input, measured);
  const Unresolved unresolved = TakeOutUnresolved(looks, options.bead_half_mm, merged, reading);
  const EdgesTold edges = TellEdges(looks, input.bore.radius_mm, told, unresolved);
  if (!heights_by_light && pushes.size() == 1 && AllOfOnePush(looks)) {
    auto travelled = WithTravel(pushes.front(), std::move(told), edges, input.bore, job.Part(0.8, 0.95), reading);
    if (!travelled.ok()) return travelled.error();
    told = std::move(travelled).value();
  }
  if (auto failed = SearchSurface(looks, strips, told, edges, options, reading, job)) return *failed;
  reading.strip.resolution_mm = MedianAtBead(merged.grid, merged.resolution_z_mm, options.bead_half_mm, 16);
  State(told, edges, WithheldFor(options, reading), reading);
  Explain("zone", unresolved.Zone(options.zone_mm), unresolved.why, reading);
  reading.coverage_deg = CoverageOf(merged, reading.profile, options.zone_mm);
  if (auto failed = AssessColour(input, looks, merged, reading, job)) return *failed;
  AddPictures(merged, measured);
  KeepSources(looks, laid.value(), light.value(), measured);
  job.Report(1, "measured");
  return measured;
}

}  // namespace vision::reading
