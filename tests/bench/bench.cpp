// What measuring one 1280x960 frame costs, next to one cv::remap of the same strip in the same process.
#include <benchmark/benchmark.h>

#include <cstdio>
#include <cstdlib>
#include <opencv2/imgproc.hpp>

#include "app/joint/joint.h"
#include "app/joint/measure_input.h"
#include "tests/bench/ratios.h"
#include "vision/pose/pose.h"
#include "vision/reading/measure.h"
#include "vision/recording/frame_source.h"
#include "vision/unroll/unroll.h"

namespace {

namespace fs = std::filesystem;

template <class T>
T ValueOrEnd(vision::Result<T> result) {
  if (result.ok()) return std::move(result).value();
  std::fprintf(stderr, "rootscroll_bench: %s\n", result.error().message.c_str());
  std::exit(2);
}

/// The independent scene's one frame, where its camera stood, and the strip that `Measure` lays flat from it.
struct Subject {
  vision::reading::MeasureInput input;
  vision::recording::Frame frame;
  vision::pose::FrameSetting setting;
  vision::pose::Pose pose;
  vision::unroll::StripGrid grid;
  vision::unroll::UnrollMap map;
};

Subject MakeSubject() {
  const auto joint = ValueOrEnd(
      app::joint::LoadJoint(fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures/independent/single_00_fused/joint.json"));
  Subject subject{ValueOrEnd(app::joint::MeasureInputFor(joint, {"root"})), {}, {}, {}, {}, {}};
  const auto& still = subject.input.recordings.front().frames.front();
  subject.frame = ValueOrEnd(vision::recording::ReadStill(still.file, {still.lens.width_px, still.lens.height_px}));
  subject.setting = {still.lens, still.facing, still.up_theta_deg.value_or(0), {}};
  subject.pose = ValueOrEnd(vision::pose::FindPose(subject.frame.image, subject.input.bore, subject.setting));
  const double reach_mm = vision::reading::MeasureOptions().zone_mm + 5;  // as Measure does
  subject.grid = vision::unroll::StripGrid::Over(subject.input.bore.radius_mm, -reach_mm, reach_mm);
  subject.map = vision::unroll::BuildMap(subject.setting.lens, subject.pose.bore_from_cam, subject.grid);
  return subject;
}

const Subject& TheSubject() {
  static const Subject subject = MakeSubject();
  return subject;
}

void CvRemap(benchmark::State& state) {
  const Subject& subject = TheSubject();
  cv::Mat strip;
  for (auto _ : state) {
    cv::remap(subject.frame.image, strip, subject.map.fixed_xy, subject.map.fixed_fraction, cv::INTER_CUBIC);
    benchmark::DoNotOptimize(strip.data);
  }
}

void UnrollWithKeptMap(benchmark::State& state) {
  const Subject& subject = TheSubject();
  for (auto _ : state) benchmark::DoNotOptimize(vision::unroll::Unroll(subject.frame.image, subject.map));
}

void BuildMap(benchmark::State& state) {
  const Subject& subject = TheSubject();
  for (auto _ : state)
    benchmark::DoNotOptimize(
        vision::unroll::BuildMap(subject.setting.lens, subject.pose.bore_from_cam, subject.grid).grid);
}

void FindPose(benchmark::State& state) {
  const Subject& subject = TheSubject();
  for (auto _ : state)
    benchmark::DoNotOptimize(vision::pose::FindPose(subject.frame.image, subject.input.bore, subject.setting));
}

void MeasureOneFrame(benchmark::State& state) {
  const Subject& subject = TheSubject();
  for (auto _ : state) benchmark::DoNotOptimize(vision::reading::Measure(subject.input));
}

BENCHMARK(CvRemap)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(UnrollWithKeptMap)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(BuildMap)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(FindPose)->Unit(benchmark::kMillisecond)->UseRealTime();
BENCHMARK(MeasureOneFrame)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace

int main(int count, char** words) {
  benchmark::Initialize(&count, words);
  if (benchmark::ReportUnrecognizedArguments(count, words)) return 2;
  const Subject& subject = TheSubject();
  std::printf("frame %d x %d, strip %d x %d cells of %.2f mm\n", subject.frame.image.cols, subject.frame.image.rows,
              subject.grid.columns, subject.grid.rows, subject.grid.pitch_mm);
  tests::bench::KeepingReporter reporter;
  benchmark::RunSpecifiedBenchmarks(&reporter);
  reporter.PrintRatio("UnrollWithKeptMap", "CvRemap");
  reporter.PrintRatio("BuildMap", "CvRemap");
  reporter.PrintRatio("MeasureOneFrame", "CvRemap");
  return 0;
}
