#include "vision/live/times.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <limits>
#include <string>

namespace vision::live {
namespace {

double StatusMib(const std::string& key) {
  std::ifstream status("/proc/self/status");
  std::string word;
  while (status >> word)
    if (word == key) {
      double kib = 0;
      status >> kib;
      return kib / 1024;
    }
  return 0;
}

}  // namespace

void Times::Add(double ms) {
  ++counts_[static_cast<std::size_t>(std::clamp(static_cast<int>(ms * 10), 0, kSteps - 1))];
  ++count_;
  max_ms_ = std::max(max_ms_, ms);
}

double Times::AtShare(double share) const {
  if (count_ == 0) return std::numeric_limits<double>::quiet_NaN();
  const auto wanted = static_cast<std::int64_t>(std::ceil(share * static_cast<double>(count_)));
  std::int64_t sum = 0;
  for (int i = 0; i < kSteps; ++i) {
    sum += counts_[static_cast<std::size_t>(i)];
    if (sum >= std::max<std::int64_t>(1, wanted)) return std::min(max_ms_, 0.1 * (i + 1));
  }
  return max_ms_;
}

double ResidentMib() { return StatusMib("VmRSS:"); }
double PeakMib() { return StatusMib("VmHWM:"); }

}  // namespace vision::live
