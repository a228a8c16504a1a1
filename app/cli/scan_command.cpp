#include <cstdio>
#include <memory>

#include "app/cli/commands.h"
#include "vision/base/file.h"
#include "vision/recording/frame_source.h"
#include "vision/scan/scan.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;
using vision::scan::ClockText;
using vision::scan::Scanned;

struct ScanArguments {
  std::string source, joint, camera, out;
  vision::scan::ScanOptions options;
};

/// Size of the source's first frame.
vision::Result<cv::Size> SizeOf(const std::string& source) {
  auto stream = vision::recording::FrameStream::Open(source);
  if (!stream.ok()) return stream.error();
  if (!stream.value().info().size.empty()) return stream.value().info().size;
  auto first = stream.value().Next();
  if (!first.ok()) return first.error();
  return stream.value().info().size;
}

/// The camera that the joint file names, or its only one of the recording's size.
vision::Result<vision::scan::CameraKnown> CameraFor(const ScanArguments& arguments) {
  auto joint = app::joint::LoadJoint(arguments.joint);
  if (!joint.ok()) return joint.error();
  auto size = SizeOf(arguments.source);
  if (!size.ok()) return size.error();
  const app::joint::Camera* found = nullptr;
  for (const auto& camera : joint.value().cameras) {
    const bool fits = arguments.camera.empty() ? cv::Size(camera.lens.width_px, camera.lens.height_px) == size.value()
                                               : camera.id == arguments.camera;
    if (!fits) continue;
    if (found) return vision::BadInput(arguments.joint + ": two cameras fit the recording; name one with --camera.");
    found = &camera;
  }
  if (!found)
    return vision::BadInput(arguments.joint + ": cameras: " +
                            (arguments.camera.empty()
                                 ? "none is " + std::to_string(size.value().width) + " x " +
                                       std::to_string(size.value().height) + " px as the recording is."
                                 : "there is no '" + arguments.camera + "'."));
  vision::scan::CameraKnown known;
  known.lens = found->lens;
  known.radius_mm = 0.5 * joint.value().pipe.inside_diameter.value_mm;
  known.calibrated = true;
  if (found->mask) {
    auto mask = vision::recording::ReadMask(*found->mask, size.value());
    if (!mask.ok()) return mask.error();
    known.mask = std::move(mask).value();
  }
  return known;
}

std::string Span(double from_s, double to_s) { return ClockText(from_s) + "  " + ClockText(to_s); }

std::string WeldWords(std::size_t number, const vision::scan::WeldFound& weld) {
  std::string words = "\nWeld " + std::to_string(number) + ": in sight from " + ClockText(weld.from_s) + " to " +
                      ClockText(weld.to_s) + (weld.arc_seen ? ", welding seen" : "");
  char text[160];
  if (weld.proposed) {
    std::snprintf(text, sizeof text, " (frames %ld to %ld; sharpest %ld at ", weld.best_first_index,
                  weld.best_last_index, weld.sharpest_index);
    words += "\n  measure by  " + Span(weld.best_from_s, weld.best_to_s) + text + ClockText(weld.sharpest_s) + ")";
  } else {
    words += "\n  measure by  nothing here: see why not below";
  }
  for (const auto& refused : weld.refused)
    words += "\n  not         " + Span(refused.from_s, refused.to_s) + "  " + vision::scan::SentenceOf(refused.why);
  return words;
}

std::string ScanWords(const Scanned& scanned) {
  char text[240];
  std::snprintf(text, sizeof text, "%s: %s, %d x %d px, %s long, %ld frames, %ld looked at\n", scanned.source.c_str(),
                scanned.info.kind.c_str(), scanned.info.size.width, scanned.info.size.height,
                ClockText(scanned.duration_s).c_str(), scanned.frames, scanned.looked_at);
  std::string words = text;
  words += "\nfrom       to         shows";
  for (const auto& stretch : scanned.sorted.stretches)
    words += "\n" + Span(stretch.from_s, stretch.to_s) + "  " + NameOf(stretch.shows) +
             (stretch.note.empty() ? "" : ": " + stretch.note);
  words += "\n";
  for (std::size_t i = 0; i < scanned.sorted.welds.size(); ++i) words += WeldWords(i + 1, scanned.sorted.welds[i]);
  if (scanned.sorted.welds.empty()) words += "\nNo weld found.";
  for (const auto& [box, from_s, to_s] : scanned.burned_in) {
    std::snprintf(text, sizeof text, "\n%s  burned-in text or mark, %d x %d px at (%d, %d)", Span(from_s, to_s).c_str(),
                  box.width, box.height, box.x, box.y);
    words += text;
  }
  for (const auto& note : scanned.notes) words += "\nNote: " + note;
  return words + "\nA help to find what to look at; it judges no weld.";
}

vision::Status WriteScan(const Scanned& scanned, const std::string& json, const fs::path& folder) {
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  if (auto failed = vision::recording::WritePicture(folder / "timeline.png", vision::scan::TimelinePicture(scanned)))
    return failed;
  return vision::WriteFileWhole(folder / "scan.json", json);
}

void RunScan(const ScanArguments& arguments, Session& session) {
  std::optional<vision::scan::CameraKnown> camera;
  if (!arguments.joint.empty()) {
    auto found = CameraFor(arguments);
    if (!found.ok()) return session.Fail(found.error());
    camera = std::move(found.value());
  }
  auto scanned = vision::scan::Scan(arguments.source, camera ? &*camera : nullptr, arguments.options, session.Job());
  if (!scanned.ok()) return session.Fail(scanned.error());
  auto json = vision::scan::ToJson(scanned.value());
  if (!json.ok()) return session.Fail(json.error());
  if (!arguments.out.empty())
    if (auto failed = WriteScan(scanned.value(), json.value(), arguments.out)) return session.Fail(*failed);
  session.Say(ScanWords(scanned.value()) +
              (arguments.out.empty()
                   ? ""
                   : "\nWritten: " + (fs::path(arguments.out) / "scan.json").string() + ", timeline.png"));
  if (session.json) std::printf("%s", json.value().c_str());
  session.exit_code = scanned.value().sorted.welds.empty() ? kOpen : kDone;
}

}  // namespace

void AddScan(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand(
      "scan", "What each stretch of a recording shows, where the welds are, and which stretch to measure each by");
  auto arguments = std::make_shared<ScanArguments>();
  auto& o = arguments->options;
  command
      ->add_option("source", arguments->source, "A video, a folder of stills, /dev/videoN, or the address of a stream")
      ->required();
  command->add_option("--joint", arguments->joint, "The joint file that describes the camera");
  command->add_option("--camera", arguments->camera, "Id of the camera there; needed where two fit");
  command->add_option("--out", arguments->out, "Folder for scan.json and timeline.png; made when absent");
  command->add_option("--look-every", o.look_every_s, "Look at one frame in so many seconds")->capture_default_str();
  command->add_option("--seconds", o.stop_after_s, "Stop after so much of the recording; 0 = go to its end")
      ->capture_default_str();
  command
      ->add_option("--blurred-above-px", o.sort.blurred_above_px,
                   "Blur above which a frame is blurred; 0 = from the recording itself")
      ->capture_default_str();
  command->callback([arguments, &session] { RunScan(*arguments, session); });
}

}  // namespace app::cli
