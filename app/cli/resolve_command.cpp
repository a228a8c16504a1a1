#include <algorithm>
#include <cmath>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>

#include "app/cli/commands.h"
#include "app/joint/measure_input.h"
#include "vision/base/file.h"
#include "vision/bore/angle.h"
#include "vision/reading/resolving.h"
#include "vision/recording/frame_source.h"

namespace app::cli {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;
using vision::reading::Resolving;

struct ResolveArguments {
  std::string joint, out;
  std::vector<std::string> recordings;
  vision::reading::MeasureOptions options;
  vision::resolve::ResolveOptions resolving;
};

constexpr const char* kCriterion =
    "a dark line keeps the asked share of its contrast through the measured blur and the pixel's square, where it "
    "falls "
    "worst between pixel centres; the coarser of along and around the wall counts";
constexpr const char* kCriterionSource = "common practice, no source";
constexpr const char* kLineSource =
    "1/32 in (0.8 mm) line: ASME BPVC section V, article 9, secondary source, check the standard";

/// Smallest line of the worst place on each station line, over the zone and over the weld itself; NaN = not seen.
struct AlongTheta {
  std::vector<double> zone_mm, weld_mm;
};

double WorstOver(const Resolving& r, int column, double half_mm) {
  const auto& grid = r.strip.grid;
  const int from = std::max(0, static_cast<int>(std::lround(grid.Row(-half_mm)))),
            to = std::min(grid.rows - 1, static_cast<int>(std::lround(grid.Row(half_mm))));
  double worst = 0;
  for (int row = from; row <= to; ++row) {
    const float line = r.smallest_line_mm(row, column);
    if (!(line == line)) return NAN;
    worst = std::max(worst, static_cast<double>(line));
  }
  return worst;
}

AlongTheta WorstLines(const Resolving& r, double zone_mm) {
  AlongTheta worst;
  for (int i = 0; i < 720; ++i) {
    const int column = r.strip.grid.NearestColumn(0.5 * i);
    worst.zone_mm.push_back(WorstOver(r, column, zone_mm));
    worst.weld_mm.push_back(WorstOver(r, column, 3));
  }
  return worst;
}

Json Numbers(const std::vector<double>& values) {
  Json array = Json::array();
  for (const double v : values) array.push_back(std::isfinite(v) ? Json(std::round(1e4 * v) / 1e4) : Json(nullptr));
  return array;
}

std::vector<vision::bore::Arc> FailingArcs(const std::vector<double>& worst, double line_mm) {
  std::vector<bool> fails;
  for (const double line : worst) fails.push_back(!(line <= line_mm));
  return vision::bore::RunsOnCircle(fails);
}

double Degrees(const std::vector<vision::bore::Arc>& arcs) {
  double sum = 0;
  for (const auto& arc : arcs) sum += arc.length_deg;
  return sum;
}

Json ResolveJson(const ResolveArguments& arguments, const Resolving& r, const AlongTheta& worst) {
  const auto& o = arguments.resolving;
  Json json{{"format", "rootscroll.resolve/1"}, {"recordings", arguments.recordings}, {"line_mm", o.line_mm}};
  json["line_source"] = kLineSource;
  json["criterion"] = kCriterion;
  json["criterion_source"] = kCriterionSource;
  json["least_contrast"] = o.least_contrast;
  json["least_pixels"] = o.least_pixels;
  for (std::size_t i = 0; i < r.frames.size(); ++i)
    json["frames"].push_back({{"file", r.frames[i]},
                              {"pose", r.how[i]},
                              {"blur_px", std::round(1000 * r.sharpness[i].overall_px) / 1000},
                              {"blur", r.sharpness[i].measured ? "measured in the picture" : "assumed"}});
  json["theta_deg_step"] = 0.5;
  json["zone_worst_mm"] = Numbers(worst.zone_mm);
  json["weld_worst_mm"] = Numbers(worst.weld_mm);
  for (const char* what : {"zone", "weld"}) {
    json[std::string("not_shown_") + what] = Json::array();
    const auto& lines = std::string(what) == "zone" ? worst.zone_mm : worst.weld_mm;
    for (const auto& arc : FailingArcs(lines, o.line_mm))
      json[std::string("not_shown_") + what].push_back({{"start_deg", arc.start_deg}, {"length_deg", arc.length_deg}});
  }
  const auto& grid = r.strip.grid;
  json["map"] = {{"file", "smallest_line_um.png"}, {"unit", "micrometres, 16 bit; 0 = not seen"},
                 {"columns", grid.columns},        {"rows", grid.rows},
                 {"pitch_mm", grid.pitch_mm},      {"z_from_mm", grid.z_from_mm}};
  json["picture"] = "smallest_line.png";
  json["notes"] = r.notes;
  return json;
}

vision::Status WriteLines(const ResolveArguments& arguments, const Resolving& r, const Json& json) {
  const fs::path folder = arguments.out;
  if (auto failed = vision::MakeFolder(folder)) return *failed;
  cv::Mat1w micrometres;
  cv::Mat1f known = r.smallest_line_mm.clone();
  cv::patchNaNs(known, 0);
  known.convertTo(micrometres, CV_16U, 1000);
  if (auto e = vision::recording::WritePicture(folder / "smallest_line_um.png", micrometres)) return e;
  const auto picture = vision::resolve::LinePicture(r.strip, r.smallest_line_mm, arguments.resolving);
  if (auto e = vision::recording::WritePicture(folder / "smallest_line.png", picture)) return e;
  return vision::WriteFileWhole(folder / "smallest_line.json", json.dump(1) + "\n");
}

std::string LinesWords(const ResolveArguments& arguments, const Resolving& r, const AlongTheta& worst) {
  const double line = arguments.resolving.line_mm;
  const double zone = 360 - Degrees(FailingArcs(worst.zone_mm, line)),
               weld = 360 - Degrees(FailingArcs(worst.weld_mm, line));
  char text[512];
  std::snprintf(
      text, sizeof text,
      "A line of %.2f mm is shown on the weld (3 mm either side of its middle) over %.0f, on the zone (%.1f mm "
      "either side) over %.0f of 360 degrees.",
      line, weld, arguments.options.zone_mm, zone);
  std::string words = text;
  for (std::size_t i = 0; i < r.frames.size(); ++i) {
    std::snprintf(text, sizeof text, "\n  %s: blur %.2f px (%s), pose %s", r.frames[i].c_str(),
                  r.sharpness[i].overall_px, r.sharpness[i].measured ? "measured" : "assumed", r.how[i].c_str());
    words += text;
  }
  for (const auto& arc : FailingArcs(worst.weld_mm, line)) {
    std::snprintf(text, sizeof text, "\n  not shown on the weld: %.1f to %.1f degrees: not examined", arc.start_deg,
                  arc.closing_deg());
    words += text;
  }
  for (const auto& note : r.notes) words += "\nNote: " + note;
  return words + "\nCriterion: " + kCriterion + " (" + kCriterionSource + ").\nLine: " + kLineSource + ".";
}

void RunResolve(const ResolveArguments& arguments, Session& session) {
  auto joint = app::joint::LoadJoint(arguments.joint);
  if (!joint.ok()) return session.Fail(joint.error());
  auto input = app::joint::MeasureInputFor(joint.value(), arguments.recordings);
  if (!input.ok()) return session.Fail(input.error());
  auto resolved = vision::reading::Resolve(input.value(), arguments.options, arguments.resolving, session.Job());
  if (!resolved.ok()) return session.Fail(resolved.error());
  const auto worst = WorstLines(resolved.value(), arguments.options.zone_mm);
  const auto json = ResolveJson(arguments, resolved.value(), worst);
  if (auto failed = WriteLines(arguments, resolved.value(), json)) return session.Fail(*failed);
  session.Say(LinesWords(arguments, resolved.value(), worst) +
              "\nWritten: " + (fs::path(arguments.out) / "smallest_line.json").string() +
              ", smallest_line.png, smallest_line_um.png\n" + CautionText());
  if (session.json) std::printf("%s\n", json.dump(1).c_str());
  session.exit_code = FailingArcs(worst.weld_mm, arguments.resolving.line_mm).empty() ? kDone : kOpen;
}

}  // namespace

void AddResolve(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand(
      "smallest-line", "The smallest line a recording could show at each place, as a map over the strip");
  auto arguments = std::make_shared<ResolveArguments>();
  command->add_option("joint", arguments->joint, "The joint file (rootscroll.joint/1)")->required();
  command->add_option("--recording", arguments->recordings, "Id of a recording in the joint file; may be given again")
      ->required();
  command->add_option("--out", arguments->out, "Folder for the results; made when absent")->required();
  command->add_option("--line-mm", arguments->resolving.line_mm, "The line that must be shown, mm")
      ->capture_default_str();
  command->add_option("--contrast", arguments->resolving.least_contrast, "Share of its contrast that must be left")
      ->capture_default_str();
  command->add_option("--pixels", arguments->resolving.least_pixels, "Source pixels a line must cover as well")
      ->capture_default_str();
  command->callback([arguments, &session] { RunResolve(*arguments, session); });
}

}  // namespace app::cli
