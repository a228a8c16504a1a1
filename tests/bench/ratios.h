#pragma once

#include <benchmark/benchmark.h>

#include <map>
#include <string>

/// Reporting of times beside each other: what one step costs next to the one library call it cannot do without.
namespace tests::bench {

/// Prints as the console reporter does and keeps each benchmark's wall time (its median where it was repeated).
class KeepingReporter : public benchmark::ConsoleReporter {
 public:
  void ReportRuns(const std::vector<Run>& runs) override;

  /// Wall time of one iteration of the benchmark `name`, ms; NaN when it did not run.
  double Ms(const std::string& name) const;

  /// One line "ratio: NAME / OTHER = X" with both times; nothing when either did not run.
  void PrintRatio(const std::string& name, const std::string& other) const;

 private:
  std::map<std::string, double> ms_;
};

}  // namespace tests::bench
