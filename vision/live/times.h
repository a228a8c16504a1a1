#pragma once

#include <array>
#include <cstdint>

namespace vision::live {

/// Percentiles of times in constant memory: counts in steps of 0.1 ms up to 5 s.
class Times {
 public:
  void Add(double ms);
  std::int64_t count() const { return count_; }
  double max_ms() const { return max_ms_; }
  /// @param share In [0, 1]. @return The time that this share of all does not exceed, to 0.1 ms upward; NaN of none.
  double AtShare(double share) const;

 private:
  static constexpr int kSteps = 50000;  ///< Format: tenths of a millisecond.
  std::array<std::int32_t, kSteps> counts_{};
  std::int64_t count_ = 0;
  double max_ms_ = 0;
};

/// Memory of this process in use now, MiB (VmRSS); 0 where /proc is missing.
double ResidentMib();
/// The most so far (VmHWM), MiB.
double PeakMib();

}  // namespace vision::live
