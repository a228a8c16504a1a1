#include "tests/bench/ratios.h"

#include <cmath>
#include <cstdio>
#include <limits>

namespace tests::bench {

void KeepingReporter::ReportRuns(const std::vector<Run>& runs) {
  ConsoleReporter::ReportRuns(runs);
  for (const Run& run : runs) {
    if (run.error_occurred || run.iterations == 0) continue;
    const double ms = 1e3 * run.real_accumulated_time / static_cast<double>(run.iterations);
    if (run.run_type == Run::RT_Iteration && run.repetitions <= 1)
      ms_[run.run_name.function_name] = ms;
    else if (run.aggregate_name == "median")
      ms_[run.run_name.function_name] = run.GetAdjustedRealTime();  // milliseconds: every benchmark here has that unit
  }
}

double KeepingReporter::Ms(const std::string& name) const {
  const auto found = ms_.find(name);
  return found == ms_.end() ? std::numeric_limits<double>::quiet_NaN() : found->second;
}

void KeepingReporter::PrintRatio(const std::string& name, const std::string& other) const {
  const double a = Ms(name), b = Ms(other);
  if (std::isfinite(a) && std::isfinite(b))
    std::printf("ratio: %s / %s = %.2f (%.2f ms / %.2f ms)\n", name.c_str(), other.c_str(), a / b, a, b);
}

}  // namespace tests::bench
