#include <cmath>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/cli/commands.h"
#include "app/cli/steps.h"
#include "app/joint/confidence.h"
#include "app/joint/mount.h"
#include "app/measure/measure_joint.h"
#include "vision/base/file.h"
#include "vision/bore/angle.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;
using vision::reading::Measured;

std::string Summary(const vision::reading::Reading& reading) {
  if (!reading.weld_found) {
    std::string nothing =
        "Nothing was measured: " + (reading.why.empty() ? "no weld found" : EnglishOf(reading.why.front().reason)) +
        ".";
    if (!reading.strip.eye_only.empty())
      nothing += "\nThe strip is for the eye only: " + EnglishOf(reading.strip.eye_only);
    for (const auto& note : reading.notes) nothing += "\nNote: " + EnglishOf(note);
    return nothing;
  }
  double least = 1e9, most = 0;
  int stated = 0;
  for (double width : reading.profile.width_mm)
    if (std::isfinite(width)) least = std::min(least, width), most = std::max(most, width), ++stated;
  char text[512];
  if (stated > 0)
    std::snprintf(text, sizeof text, "Root width %.2f to %.2f mm, stated on %.0f of 360 degrees.", least, most,
                  0.5 * stated);
  else
    std::snprintf(text, sizeof text, "Root width is not measurable from this recording.");
  std::string summary = text;
  std::snprintf(
      text, sizeof text,
      "\nExamined: piece a side %.0f, piece b side %.0f of 360 degrees; weld and 12.7 mm each side seen on %.0f.",
      reading.coverage_deg.left, reading.coverage_deg.right, reading.coverage_deg.zone);
  summary += text;
  for (const auto& run : reading.unfused) {
    std::snprintf(text, sizeof text,
                  "\nOriginal edge visible: piece %s side, %.1f to %.1f degrees (%s to %s o'clock looking along +z), "
                  "%.1f mm of arc, confidence %s.",
                  run.side == "left" ? "a" : "b", run.start_deg, run.end_deg,
                  vision::bore::ClockText(run.start_deg).c_str(), vision::bore::ClockText(run.end_deg).c_str(),
                  run.arc_mm, app::joint::ConfidenceText(run.confidence).c_str());
    summary += text;
  }
  if (!reading.calibrated) summary += "\n" + EnglishOf(reading.calibration_note);
  for (const auto& note : reading.notes) summary += "\nNote: " + EnglishOf(note);
  return summary;
}

void PrintJson(const MeasureArguments& arguments, const vision::reading::Reading& reading) {
  nlohmann::ordered_json json;
  json["reading"] = (fs::path(arguments.out) / "reading.json").string();
  json["weld_found"] = reading.weld_found;
  json["unfused_runs"] = reading.unfused.size();
  json["coverage_deg"] = {
      {"left", reading.coverage_deg.left}, {"right", reading.coverage_deg.right}, {"zone", reading.coverage_deg.zone}};
  std::printf("%s\n", json.dump(1).c_str());
}

}  // namespace

void AddMeasureArguments(CLI::App& command, MeasureArguments& arguments) {
  command.add_option("joint", arguments.joint, "The joint file (rootscroll.joint/1)")->required();
  command
      .add_option("--recording", arguments.recordings,
                  "Id of a recording in the joint file; may be given again for the other side")
      ->required();
  command.add_option("--out", arguments.out, "Folder for the results; made when absent")->required();
  command.add_option("--pitch-mm", arguments.options.pitch_mm, "Cell of the strip, mm")->capture_default_str();
  command
      .add_option("--video-frames", arguments.options.video_frames,
                  "Frames taken from a video: near the weld, lit, sharp")
      ->capture_default_str();
  command.add_option("--mount", arguments.mount,
                     "How the head rides, as centred=2,tilt=3,distance=60,distance-u=10: off the axis by about so many "
                     "mm, leaning by about so many degrees, so many mm before the weld and how well that is known; any "
                     "part may be left out. It takes the place of the joint file's own");
  command.add_flag("--mirrored", arguments.mirrored,
                   "The pictures are mirror images (a mirror before the lens, a recorder that flips)");
  command.add_option("--max-expanded-uncertainty-mm", arguments.max_expanded_uncertainty_mm,
                     "Heights are stated only where their expanded uncertainty (k = 2) is below this, mm; without it a "
                     "quarter of the criterion's limit");
}

std::optional<MeasureOutcome> MeasureStep(const MeasureArguments& arguments, Session& session) {
  app::measure::JointOptions options{arguments.options, arguments.criterion, arguments.max_expanded_uncertainty_mm};
  options.mirrored = arguments.mirrored;
  if (!arguments.mount.empty()) {
    auto mount = app::joint::MountFromText(arguments.mount);
    if (!mount.ok()) return session.Fail(mount.error()), std::nullopt;
    options.mount = mount.value();
  }
  auto measured = app::measure::MeasureJoint(arguments.joint, arguments.recordings, options, session.Job());
  if (!measured.ok()) return session.Fail(measured.error()), std::nullopt;
  return MeasureOutcome{std::move(measured.value().joint), std::move(measured.value().measured)};
}

void AddMeasure(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand("measure", "Measure recordings of a joint: writes reading.json and pictures");
  auto arguments = std::make_shared<MeasureArguments>();
  AddMeasureArguments(*command, *arguments);
  command->callback([arguments, &session] {
    const auto outcome = MeasureStep(*arguments, session);
    if (!outcome) return;
    if (auto failed = vision::reading::WriteMeasured(outcome->measured, arguments->out)) return session.Fail(*failed);
    std::error_code ignored;  // a verdict that lies there is one of the reading before
    fs::remove(fs::path(arguments->out) / "verdict.json", ignored);
    const auto& reading = outcome->measured.reading;
    session.Say(Summary(reading) + "\nWritten: " + (fs::path(arguments->out) / "reading.json").string() + "\n" +
                CautionText());
    if (session.json) PrintJson(*arguments, reading);
    session.exit_code = reading.weld_found ? kDone : kOpen;
  });
}

void AddUnroll(CLI::App& program, Session& session) {
  auto* command =
      program.add_subcommand("unroll", "Unroll recordings of a joint to a flat strip in millimetres (pictures only)");
  auto arguments = std::make_shared<MeasureArguments>();
  AddMeasureArguments(*command, *arguments);
  command->callback([arguments, &session] {
    auto outcome = MeasureStep(*arguments, session);
    if (!outcome) return;
    const auto& strip = outcome->measured.reading.strip;
    if (strip.file.empty())
      return session.Fail(vision::NotFound("no weld found in this recording, so there is no strip to lay flat."));
    if (auto failed = vision::reading::WritePictures(outcome->measured, arguments->out)) return session.Fail(*failed);
    char text[256];
    std::snprintf(text, sizeof text,
                  "%d x %d cells of %.3f mm; column 0 is theta 0, row 0 is z = %.2f mm, the piece a side is at the "
                  "top; wall as seen from inside.",
                  strip.columns, strip.rows, strip.pitch_mm, strip.z_from_mm);
    session.Say("Strip: " + (fs::path(arguments->out) / strip.file).string() + "\n" + text);
  });
}

}  // namespace app::cli
