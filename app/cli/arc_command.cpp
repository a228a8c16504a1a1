#include <cstdio>
#include <memory>

#include "app/cli/commands.h"
#include "app/joint/measure_input.h"
#include "vision/arc/follow.h"
#include "vision/base/file.h"
#include "vision/bore/angle.h"
#include "vision/reading/look.h"
#include "vision/recording/frame_source.h"
#include "vision/scan/scan.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;
using vision::arc::Welding;
using vision::scan::ClockText;

struct ArcArguments {
  std::string joint, recording, out;
  vision::arc::FollowOptions options;
};

/// The recording named, else the only video of the joint file.
vision::Result<std::string> RecordingOf(const ArcArguments& arguments, const joint::Joint& joint) {
  std::string found, videos;
  int count = 0;
  for (const auto& recording : joint.recordings) {
    if (!recording.video) continue;
    found = recording.id, ++count;
    videos += (videos.empty() ? "" : ", ") + recording.id;
    if (recording.id == arguments.recording) return recording.id;
  }
  if (!arguments.recording.empty())
    return vision::BadInput(arguments.joint + " has no video recording `" + arguments.recording + "`; it has " +
                            (videos.empty() ? "none" : videos) + ".");
  if (count == 1) return found;
  return vision::BadInput(arguments.joint + (count == 0
                                                 ? " has no video recording; welding can only be followed in a video."
                                                 : ": name one of its videos with --recording: " + videos + "."));
}

vision::Result<Welding> FollowOne(const ArcArguments& arguments, const vision::JobContext& job) {
  const auto joint = joint::LoadJoint(arguments.joint);
  if (!joint.ok()) return joint.error();
  const auto id = RecordingOf(arguments, joint.value());
  if (!id.ok()) return id.error();
  const auto input = joint::MeasureInputFor(joint.value(), {id.value()});
  if (!input.ok()) return input.error();
  const auto& recording = input.value().recordings.front();
  const auto& frame = recording.frames.front();
  if (frame.facing == vision::pose::Facing::kSide)
    return vision::BadInput(arguments.joint + ": recording " + id.value() +
                            " looks sideways; the arc is followed by cameras that look along the bore.");
  const auto setting = vision::reading::SettingOf(frame);
  if (!setting.ok()) return setting.error();
  auto welding =
      vision::arc::Follow(recording.video->string(), input.value().bore, setting.value(), arguments.options, job);
  if (!welding.ok()) return welding;
  welding.value().recording = id.value();
  if (!frame.up_theta_deg)
    welding.value().notes.push_back(
        "The roll of the camera is not given (up_theta_deg): clock positions are counted from the image's up.");
  return welding;
}

std::string Place(double theta_deg) {
  char text[48];
  std::snprintf(text, sizeof text, "%s o'clock (%.1f degrees)", vision::bore::ClockText(theta_deg).c_str(),
                vision::bore::Wrap360(theta_deg));
  return text;
}

std::string BurnWords(const vision::arc::Burn& burn, bool first) {
  char text[120];
  std::string words = "\nArc on   " + ClockText(burn.from_s) + " to " + ClockText(burn.to_s) + "  from " +
                      Place(burn.from_theta_deg) + " to " + Place(burn.to_theta_deg);
  if (burn.stood_s > 0) {
    std::snprintf(text, sizeof text, "; stood %.1f s at its start", burn.stood_s);
    words += text;
  }
  if (!first) {
    std::snprintf(text, sizeof text,
                  burn.back_mm >= 0 ? "; began %.1f mm behind the place reached before"
                                    : "; began %.1f mm ahead of the place reached before",
                  std::abs(burn.back_mm));
    words += text;
  }
  return words;
}

std::string ArcWords(const Welding& w) {
  const auto& course = w.course;
  char text[320];
  std::snprintf(text, sizeof text,
                "%s: %s long, %ld frames. Travel %s for someone looking along +z.\n"
                "Swept %.1f degrees, +-%.1f (k = 2); ",
                w.source.c_str(), ClockText(w.duration_s).c_str(), w.frames,
                course.clockwise ? "clockwise" : "counter-clockwise", course.swept_deg, 2 * w.swept_u_deg);
  std::string words = text;
  if (course.overlap_deg > 0)
    std::snprintf(text, sizeof text, "laps over its start by %.1f degrees, %.1f mm.", course.overlap_deg,
                  vision::bore::ArcMm(course.overlap_deg, w.radius_mm));
  else
    std::snprintf(text, sizeof text, "not all round: %.1f degrees are not welded here.", 360 - course.swept_deg);
  words += text;
  std::snprintf(text, sizeof text,
                "\nMean speed of travel %.0f mm/min on the inside, +-%.0f (k = 2). Places +-%.1f degrees (k = 2).",
                course.mean_speed_mm_min, 2 * w.mean_speed_u_mm_min, 2 * w.theta_u_deg);
  words += text;
  for (std::size_t i = 0; i < course.burns.size(); ++i) words += BurnWords(course.burns[i], i == 0);
  for (const auto& stop : course.stops) {
    std::snprintf(text, sizeof text, "  %.1f s, arc %s, look at ", stop.to_s - stop.from_s, stop.arc_on ? "on" : "off");
    words += "\nStop     " + ClockText(stop.from_s) + " to " + ClockText(stop.to_s) + text + Place(stop.theta_deg);
  }
  if (course.stops.empty()) words += "\nNo stop of a second or longer.";
  for (const auto& gap : w.gaps)
    words += "\nNothing  " + ClockText(gap.from_s) + " to " + ClockText(gap.to_s) + "  " + gap.why;
  for (const auto& note : w.notes) words += "\nNote: " + note;
  return words + "\nA help to find what to look at; it judges no weld.";
}

vision::Status WriteArc(const Welding& welding, const std::string& json, const fs::path& folder) {
  if (auto failed = vision::MakeFolder(folder)) return failed;
  if (auto failed = vision::recording::WritePicture(folder / "arc.png", vision::arc::CoursePicture(welding)))
    return failed;
  return vision::WriteFileWhole(folder / "arc.json", json);
}

void RunArc(const ArcArguments& arguments, Session& session) {
  const auto welding = FollowOne(arguments, session.Job());
  if (!welding.ok()) {
    session.Fail(welding.error());
    if (welding.error().code == vision::ErrorCode::kNotFound) session.exit_code = kOpen;
    return;
  }
  const auto json = vision::arc::ToJson(welding.value());
  if (!json.ok()) return session.Fail(json.error());
  if (!arguments.out.empty())
    if (auto failed = WriteArc(welding.value(), json.value(), arguments.out)) return session.Fail(*failed);
  session.Say(
      ArcWords(welding.value()) +
      (arguments.out.empty() ? "" : "\nWritten: " + (fs::path(arguments.out) / "arc.json").string() + ", arc.png"));
  if (session.json) std::printf("%s", json.value().c_str());
}

}  // namespace

void AddArc(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand(
      "arc", "Welding seen from inside: where the arc stood at each moment, travel speed, stops and overlap");
  auto arguments = std::make_shared<ArcArguments>();
  command->add_option("joint", arguments->joint, "The joint file")->required();
  command->add_option("--recording", arguments->recording, "Id of the video; needed where the joint has several");
  command->add_option("--out", arguments->out, "Folder for arc.json and arc.png; made when absent");
  command
      ->add_option("--shortest-stop-s", arguments->options.course.shortest_stop_s,
                   "Stops shorter than this are not told")
      ->capture_default_str();
  command->callback([arguments, &session] { RunArc(*arguments, session); });
}

}  // namespace app::cli
