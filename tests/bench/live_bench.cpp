// Live use at 1920x1080, unrolling beside cv::remap and cv::warpPolar, and how cost grows. CPU time of this thread
// counts (one thread: cv::setNumThreads(1)), so that a shared machine tells the same as an idle one. The peak memory of
// the process is printed last: run one benchmark a process to have its own.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>

#include "app/joint/joint.h"
#include "vision/base/memory.h"
#include "vision/bead/toes.h"
#include "vision/bore/angle.h"
#include "vision/live/growing_strip.h"
#include "vision/live/times.h"
#include "vision/live/toes_now.h"
#include "vision/live/tracker.h"
#include "vision/pose/pose.h"
#include "vision/unroll/unroll.h"

namespace {

namespace fs = std::filesystem;
using namespace vision;  // NOLINT(google-build-using-namespace): a main program

/// Seven frames of the demo's push, made twice as large and cut to 1920 x 1080, with the poses that were followed.
struct Subject {
  std::vector<cv::Mat3b> frames;
  std::vector<bore::BoreFromCam> poses;
  pose::FrameSetting setting;
  bore::Bore bore;
};

Subject MakeSubject() {
  const fs::path demo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures/demo";
  const auto joint = app::joint::LoadJoint(demo / "joint.json");
  if (!joint.ok()) std::fprintf(stderr, "%s\n", joint.error().message.c_str()), std::exit(2);
  Subject s;
  s.bore.radius_mm = 0.5 * joint.value().pipe.inside_diameter.value_mm;
  auto& lens = s.setting.lens;
  lens = joint.value().FindCamera("head-video")->lens;
  lens.fx_px *= 2, lens.fy_px *= 2;
  lens.cx_px = 2 * lens.cx_px + 0.5, lens.cy_px = 2 * lens.cy_px + 0.5 - 180;
  lens.width_px = 1920, lens.height_px = 1080;
  s.setting.up_theta_deg = 180.9664;
  cv::VideoCapture video((demo / "push.avi").string());
  cv::Mat picture, large;
  for (int i = 0; i < 17 && video.read(picture); ++i) {
    if (i < 10) continue;
    cv::resize(picture, large, {1920, 1440}, 0, 0, cv::INTER_CUBIC);
    s.frames.emplace_back(large.rowRange(180, 1260).clone());
  }
  live::Tracker tracker(s.bore, s.setting);
  for (const auto& frame : s.frames) {
    const auto tracked = tracker.Follow(frame, live::MakeDrawing(frame));
    if (!tracked.ok()) std::fprintf(stderr, "%s\n", tracked.error().message.c_str()), std::exit(2);
    s.poses.push_back(tracked.value().pose);
  }
  return s;
}

const Subject& TheSubject() {
  static const Subject subject = MakeSubject();
  return subject;
}

/// 0 1 2 3 4 5 6 5 4 3 2 1 0 1 ...: a camera pushed and drawn back by 3 mm a frame.
std::size_t Swing(std::int64_t i) {
  const auto k = static_cast<std::size_t>(i % 12);
  return k < 7 ? k : 12 - k;
}

void LiveDrawing(benchmark::State& state) {
  std::int64_t i = 0;
  for (auto _ : state) benchmark::DoNotOptimize(live::MakeDrawing(TheSubject().frames[Swing(i++)]).fine.data);
}

void LiveTrack(benchmark::State& state) {
  const Subject& s = TheSubject();
  std::vector<live::Drawing> drawings;
  for (const auto& frame : s.frames) drawings.push_back(live::MakeDrawing(frame));
  live::Tracker tracker(s.bore, s.setting);
  tracker.Start(s.poses[0], drawings[0]);
  std::int64_t i = 1, lost = 0;
  for (auto _ : state) {
    const auto k = Swing(i++);
    if (!tracker.Follow(s.frames[k], drawings[k], false).ok()) ++lost;
  }
  if (lost > 0) state.SkipWithError("the camera was lost");
}

/// The dearest case: all wall in reach is laid flat anew, every frame.
void LiveStrip(benchmark::State& state) {
  const Subject& s = TheSubject();
  live::GrowingStrip strip(s.bore.radius_mm);
  std::int64_t i = 0;
  double time_s = 0;
  for (auto _ : state) {
    const auto k = Swing(i++);
    state.PauseTiming();
    live::GrowingStrip fresh(s.bore.radius_mm);
    fresh.Add(s.frames[0], s.setting, s.poses[0], 0);
    state.ResumeTiming();
    benchmark::DoNotOptimize(fresh.Add(s.frames[k], s.setting, s.poses[k], time_s += 100));
  }
}

live::GrowingStrip FilledStrip() {
  const Subject& s = TheSubject();
  live::GrowingStrip strip(s.bore.radius_mm);
  for (std::size_t i = 0; i < s.frames.size(); ++i)
    strip.Add(s.frames[i], s.setting, s.poses[i], 0.1 * static_cast<double>(i));
  return strip;
}

void LiveToes(benchmark::State& state) {
  const auto strip = FilledStrip();
  live::ToesNow toes(TheSubject().bore.radius_mm, true);
  toes.Update(strip, 70, 0);
  toes.Wait();
  toes.Update(strip, 70, 1);
  if (!toes.lines()) return state.SkipWithError("no toes");
  for (auto _ : state) benchmark::DoNotOptimize(toes.Follow(strip));
}

/// All of it, frame after frame, as `watch` does it.
void LiveAll(benchmark::State& state) {
  const Subject& s = TheSubject();
  live::Tracker tracker(s.bore, s.setting);
  tracker.Start(s.poses[0], live::MakeDrawing(s.frames[0]));
  auto strip = FilledStrip();
  live::ToesNow toes(s.bore.radius_mm, true);
  toes.Update(strip, 70, 0);
  toes.Wait();
  std::int64_t i = 1;
  for (auto _ : state) {
    const auto k = Swing(i++);
    const auto drawing = live::MakeDrawing(s.frames[k]);
    const auto tracked = tracker.Follow(s.frames[k], drawing, false);
    if (!tracked.ok()) return state.SkipWithError("the camera was lost");
    strip.Add(s.frames[k], s.setting, tracked.value().pose, static_cast<double>(i) / 60);
    toes.Update(strip, tracked.value().pose.translation_mm.z(), 0.5);  // never time for the finder
  }
}

unroll::StripGrid GridOf(double pitch_mm, double half_mm = 20) {
  return unroll::StripGrid::Over(TheSubject().bore.radius_mm, -half_mm, half_mm, pitch_mm);
}

/// @param state range(0): pitch in hundredths of a mm.
void CvRemap(benchmark::State& state) {
  const Subject& s = TheSubject();
  const auto map = unroll::BuildMap(s.setting.lens, s.poses[6], GridOf(0.01 * static_cast<double>(state.range(0))));
  cv::Mat3b out;
  for (auto _ : state)
    cv::remap(s.frames[6], out, map.fixed_xy, map.fixed_fraction, cv::INTER_CUBIC, cv::BORDER_CONSTANT);
  state.counters["cells"] = static_cast<double>(out.total());
}

void UnrollKeptMap(benchmark::State& state) {
  const Subject& s = TheSubject();
  const auto map = unroll::BuildMap(s.setting.lens, s.poses[6], GridOf(0.01 * static_cast<double>(state.range(0))));
  for (auto _ : state) benchmark::DoNotOptimize(unroll::Unroll(s.frames[6], map).ok());
  state.counters["cells"] = static_cast<double>(map.grid.rows) * map.grid.columns;
}

void BuildMap(benchmark::State& state) {
  const Subject& s = TheSubject();
  const auto grid = GridOf(0.01 * static_cast<double>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(unroll::BuildMap(s.setting.lens, s.poses[6], grid).seen.data);
  state.counters["cells"] = static_cast<double>(grid.rows) * grid.columns;
}

void MapAndUnroll(benchmark::State& state) {
  const Subject& s = TheSubject();
  const auto grid = GridOf(0.01 * static_cast<double>(state.range(0)));
  for (auto _ : state)
    benchmark::DoNotOptimize(unroll::Unroll(s.frames[6], unroll::BuildMap(s.setting.lens, s.poses[6], grid)).ok());
  state.counters["cells"] = static_cast<double>(grid.rows) * grid.columns;
}

/// What live use pays for a strip of the same size: four projections a block, bilinear. Another look each time.
void BlocksLaidFlat(benchmark::State& state) {
  const Subject& s = TheSubject();
  live::GrowingOptions options;
  options.pitch_share = 0.01 * static_cast<double>(state.range(0)) / s.bore.radius_mm;
  int laid = 0;
  for (auto _ : state) {
    live::GrowingStrip strip(s.bore.radius_mm, options);
    laid = strip.Add(s.frames[6], s.setting, s.poses[6], 0);
  }
  state.counters["cells"] = laid;
}

/// A home-made unrolling: about the picture's middle, radius by radius. Same size as MapAndUnroll.
void CvWarpPolar(benchmark::State& state) {
  const Subject& s = TheSubject();
  const auto grid = GridOf(0.01 * static_cast<double>(state.range(0)));
  const auto& lens = s.setting.lens;
  cv::Mat3b out;
  for (auto _ : state)
    cv::warpPolar(s.frames[6], out, {grid.rows, grid.columns},
                  {static_cast<float>(lens.cx_px), static_cast<float>(lens.cy_px)}, 539,
                  static_cast<int>(cv::INTER_CUBIC) | static_cast<int>(cv::WARP_POLAR_LINEAR));
  state.counters["cells"] = static_cast<double>(out.total());
}

/// The same, bilinear: beside BlocksLaidFlat, which is bilinear too.
void CvWarpPolarLinear(benchmark::State& state) {
  const Subject& s = TheSubject();
  const auto grid = GridOf(0.01 * static_cast<double>(state.range(0)));
  const cv::Point2f middle(static_cast<float>(s.setting.lens.cx_px), static_cast<float>(s.setting.lens.cy_px));
  cv::Mat3b out;
  for (auto _ : state) cv::warpPolar(s.frames[6], out, {grid.rows, grid.columns}, middle, 539, cv::INTER_LINEAR);
  state.counters["cells"] = static_cast<double>(out.total());
}

void MergeFrames(benchmark::State& state) {
  const Subject& s = TheSubject();
  std::vector<unroll::Strip> strips;
  for (int i = 0; i < state.range(0); ++i) {
    const auto k = Swing(i);
    strips.push_back(unroll::Unroll(s.frames[k], unroll::BuildMap(s.setting.lens, s.poses[k], GridOf(0.2)), i).value());
  }
  for (auto _ : state) benchmark::DoNotOptimize(unroll::Merge(strips).ok());
}

/// Ring size: the same frame taken for bores of other radii (cells grow with the radius at one pitch).
void RingSize(benchmark::State& state) {
  const Subject& s = TheSubject();
  const auto radius = static_cast<double>(state.range(0));
  auto pose = s.poses[6];
  pose.translation_mm *= radius / s.bore.radius_mm;
  const auto grid = unroll::StripGrid::Over(radius, -20, 20, 0.2);
  for (auto _ : state)
    benchmark::DoNotOptimize(unroll::Unroll(s.frames[6], unroll::BuildMap(s.setting.lens, pose, grid)).ok());
}

/// The error of a home-made unrolling in mm on the strip: it takes the bore's axis to pass through the picture's middle
/// and the camera to stand on it. Where it puts a place of wall, against where it is, over the circle 1 R ahead.
void PrintErrorOffAxis(double off_mm) {
  const Subject& s = TheSubject();
  const double radius = s.bore.radius_mm;
  bore::BoreFromCam stood;  // looking straight along the bore: only the offset is wrong
  stood.rotation = pose::RotationFromAxis({0, 0, 1}, 0, pose::Facing::kPlusZ);
  stood.translation_mm = {off_mm, 0, -radius};
  bore::BoreFromCam taken = stood;
  taken.translation_mm.x() = 0;
  double worst = 0, sum2 = 0;
  for (int i = 0; i < 360; ++i) {
    const bore::BorePoint place{static_cast<double>(i), 0, 0};
    const auto pixel = s.setting.lens.Project(stood.CamFromBore(bore::XyzFromBore(place, radius)));
    const auto ray = s.setting.lens.Ray(*pixel);
    const auto put = bore::WallFromRay(taken.translation_mm, taken.rotation * *ray, radius);
    const double along = put->z_mm, around = bore::ArcMm(bore::Wrap180(put->theta_deg - i), radius);
    const double error = std::hypot(along, around);
    worst = std::max(worst, error), sum2 += error * error / 360;
  }
  std::printf("polar_error off_axis_mm %.1f rms_mm %.3f worst_mm %.3f\n", off_mm, std::sqrt(sum2), worst);
}

BENCHMARK(LiveDrawing)->Unit(benchmark::kMillisecond);
BENCHMARK(LiveTrack)->Unit(benchmark::kMillisecond);
BENCHMARK(LiveStrip)->Unit(benchmark::kMillisecond)->Iterations(40);
BENCHMARK(LiveToes)->Unit(benchmark::kMillisecond);
BENCHMARK(LiveAll)->Unit(benchmark::kMillisecond);
#define BY_PITCH ->Unit(benchmark::kMillisecond)->Arg(40)->Arg(20)->Arg(10)->Arg(5)
BENCHMARK(CvRemap) BY_PITCH;
BENCHMARK(UnrollKeptMap) BY_PITCH;
BENCHMARK(BuildMap) BY_PITCH;
BENCHMARK(MapAndUnroll) BY_PITCH;
BENCHMARK(BlocksLaidFlat) BY_PITCH;
BENCHMARK(CvWarpPolar) BY_PITCH;
BENCHMARK(CvWarpPolarLinear) BY_PITCH;
BENCHMARK(MergeFrames)->Unit(benchmark::kMillisecond)->Arg(2)->Arg(4)->Arg(8)->Arg(16);
BENCHMARK(RingSize)->Unit(benchmark::kMillisecond)->Arg(25)->Arg(50)->Arg(100)->Arg(200);

}  // namespace

int main(int count, char** words) {
  vision::KeepFreedMemory();  // as the programs do
  cv::setNumThreads(1);
  benchmark::Initialize(&count, words);
  if (benchmark::ReportUnrecognizedArguments(count, words)) return 2;
  TheSubject();
  std::fprintf(stderr, "1920 x 1080, one thread, CPU time\n");
  benchmark::RunSpecifiedBenchmarks();
  PrintErrorOffAxis(5);
  std::printf("peak_mib %.1f\n", live::PeakMib());
  return 0;
}
