#include <cstdio>
#include <filesystem>
#include <memory>
#include <opencv2/core/utility.hpp>

#include "app/cli/commands.h"
#include "app/joint/watch_input.h"
#include "vision/base/file.h"
#include "vision/live/watch_json.h"
#include "vision/recording/frame_source.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;
using vision::Result;
using vision::live::WatchFigures;
using vision::live::WatchOptions;

struct WatchArguments {
  app::joint::WatchRequest joint;
  std::string out, record;
  WatchOptions options;
};

Result<WatchOptions> OptionsOf(const WatchArguments& arguments) {
  auto options = app::joint::WatchOptionsFor(arguments.joint, arguments.options);
  if (!options.ok() || arguments.record.empty()) return options;
  options.value().record.emplace();
  options.value().record->file = arguments.record;
  return options;
}

/// "12:00 to 1:00" first: full = #, half = +, some = ., none = -.
std::string ClockWords(const std::vector<double>& coverage) {
  std::string words;
  for (const double part : coverage) words += part > 0.99 ? '#' : part > 0.5 ? '+' : part > 0.02 ? '.' : '-';
  return words;
}

std::string Line(const WatchFigures& f, vision::live::Hint hint) {
  char text[400];
  std::snprintf(text, sizeof text,
                "%7.1f s  %-22s  frames %lld, dropped %lld, no pose %lld  latency 50/95/99 %% %.1f/%.1f/%.1f ms  "
                "clock %s  memory %.0f MiB",
                f.seconds, vision::live::Words(hint).c_str(), static_cast<long long>(f.processed),
                static_cast<long long>(f.dropped), static_cast<long long>(f.no_pose), f.latency.AtShare(0.5),
                f.latency.AtShare(0.95), f.latency.AtShare(0.99), ClockWords(f.coverage).c_str(), f.memory_now_mib);
  std::string line = text;
  if (!f.record_files.empty()) {
    std::snprintf(text, sizeof text, "  recorded %lld, lost %lld", static_cast<long long>(f.recorded),
                  static_cast<long long>(f.record_lost));
    line += text;
  }
  return line;
}

/// Says each loss of the source once, and each return.
class OutageTeller {
 public:
  void Tell(const WatchFigures& f, const Session& session) {
    char text[160];
    for (; lost_ < f.outages.size(); ++lost_) {
      std::snprintf(text, sizeof text, "The source went silent at %.1f s; trying again.", f.outages[lost_].at_s);
      session.Say(text);
    }
    for (; back_ < f.outages.size() && f.outages[back_].lasted_s; ++back_) {
      std::snprintf(text, sizeof text, "The source is back after %.1f s.", *f.outages[back_].lasted_s);
      session.Say(text);
    }
  }

 private:
  std::size_t lost_ = 0, back_ = 0;
};

vision::Status WriteWatch(const fs::path& folder, const std::string& json, const vision::live::Watched& watched) {
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  if (!watched.strip.empty())
    if (auto failed = vision::recording::WritePicture(folder / "watch.png", watched.strip)) return failed;
  return vision::WriteFileWhole(folder / "watch.json", json);
}

void RunWatch(const WatchArguments& arguments, Session& session) {
  const auto options = OptionsOf(arguments);
  if (!options.ok()) return session.Fail(options.error());
  cv::setNumThreads(1);  // frames are small work: a second thread costs more than it gives, and decoding needs a core
  OutageTeller outages;
  vision::live::WatchListener listener;
  listener.on_tell = [&](const WatchFigures& f, vision::live::Hint hint) {
    outages.Tell(f, session);
    session.Say(Line(f, hint));
    std::fflush(stdout);
  };
  auto watched = vision::live::Watch(options.value(), listener, session.Job());
  if (!watched.ok()) return session.Fail(watched.error());
  const auto& f = watched.value().figures;
  outages.Tell(f, session);
  session.Say(Line(f, vision::live::Hint::kGood) + "\nEnded: " + f.ended_by + ".");
  if (f.record_lost > 0)
    session.Say("Disk or processor did not keep up: " + std::to_string(f.record_lost) +
                " frames are not in the recording.");
  const auto json = vision::live::WatchJson(options.value(), watched.value());
  if (!arguments.out.empty()) {
    if (auto failed = WriteWatch(arguments.out, json, watched.value())) return session.Fail(*failed);
    session.Say("Written: " + (fs::path(arguments.out) / "watch.json").string() + ", watch.png");
  }
  session.Say("For guiding the camera only: nothing here is a measurement. Measure the recording.\n  " +
              app::joint::ArcCaution() + "\n" + CautionText());
  if (session.json) std::printf("%s", json.c_str());
}

}  // namespace

void AddWatch(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand(
      "watch", "Live: follows a camera, fills the strip while it looks, says what is covered and what to do next");
  auto arguments = std::make_shared<WatchArguments>();
  auto& options = arguments->options;
  command
      ->add_option("source", options.reader.source, "A stream's address, a device (0, /dev/video0), a file, a folder")
      ->required();
  command->add_option("--joint", arguments->joint.joint_file, "The joint file: bore and camera")->required();
  command->add_option("--camera", arguments->joint.camera, "Id of the camera in the joint file")->required();
  command->add_option("--looks", arguments->joint.looks, "Along the bore: +z or -z")->capture_default_str();
  command->add_option("--up-theta-deg", arguments->joint.up_theta_deg, "Bore angle of the image's up")
      ->capture_default_str();
  command->add_option("--out", arguments->out, "Folder for watch.json and watch.png; made when absent");
  command->add_option("--record", arguments->record, "Record to this .avi meanwhile (motion JPEG)");
  command->add_option("--seconds", options.seconds, "End after so long; 0 = with the source or Ctrl-C")
      ->capture_default_str();
  command->add_option("--say-every-s", options.say_every_s, "Time between two lines")->capture_default_str();
  command->add_option("--give-up-s", options.reader.give_up_s, "A source lost this long has ended")
      ->capture_default_str();
  command->add_flag("--every-frame", options.reader.every_frame, "Files and folders: let no frame go by, at no pace");
  command->callback([arguments, &session] { RunWatch(*arguments, session); });
}

}  // namespace app::cli
