#include "vision/evidence/along_ring.h"

#include <algorithm>
#include <cmath>

namespace vision::evidence {
namespace {

constexpr float kLeast = 1e-6F;  ///< So that no chance is zero for ever.

void Normalise(cv::Mat1f row) { row /= std::max(1e-30, cv::sum(row)[0]); }

/// Chance of each step between neighbouring lines, from row to column.
cv::Mat1f Steps(int bins, double bin_mm, const AlongRingOptions& o) {
  const int reach = static_cast<int>(std::lround(o.reach_mm / bin_mm));
  const auto spread = [&](int k) { return std::exp(-std::abs(k) * bin_mm / o.wander_mm); };
  double sum = 0;
  for (int k = -reach; k <= reach; ++k) sum += spread(k);
  cv::Mat1f steps(bins, bins, 0.0F);
  for (int from = 0; from < bins; ++from) {
    for (int to = std::max(0, from - reach); to < std::min(bins, from + reach + 1); ++to)
      steps(from, to) = static_cast<float>((1 - o.jump) * spread(to - from) / sum + o.jump / (2 * reach + 1));
    Normalise(steps.row(from));  // no way leads out of the strip
  }
  return steps;
}

/// What each line alone tells, tempered.
cv::Mat1f Observed(const cv::Mat1f& chance, const std::vector<double>& hidden, double weight) {
  cv::Mat1f out(chance.size());
  for (int line = 0; line < chance.rows; ++line) {
    const double seen = 1 - hidden[static_cast<std::size_t>(line)];
    out.row(line) = seen * chance.row(line) + (1 - seen) / chance.cols + static_cast<double>(kLeast);
  }
  cv::pow(out, weight, out);
  return out;
}

/// Chance of each bin from the lines on one side alone; twice round, so that where it began is forgotten.
cv::Mat1f FromOneSide(const cv::Mat1f& observed, const cv::Mat1f& steps, bool forward) {
  const int lines = observed.rows;
  cv::Mat1f out(observed.size()), here(1, observed.cols, 1.0F / static_cast<float>(observed.cols));
  for (int k = 0; k < 2 * lines; ++k) {
    const int line = forward ? k % lines : lines - 1 - k % lines;
    out.row(line) = here * steps;
    Normalise(out.row(line));
    here = out.row(line).mul(observed.row(line));
    Normalise(here);
  }
  return out;
}

}  // namespace

Status AlongRingOptions::Check() const {
  if (!(wander_mm > 0 && wander_mm <= 4)) return BadInput("AlongRingOptions::wander_mm must be above 0, at most 4 mm.");
  if (!(jump > 0 && jump < 1)) return BadInput("AlongRingOptions::jump must be above 0 and below 1.");
  if (!(reach_mm > 0 && reach_mm <= 12)) return BadInput("AlongRingOptions::reach_mm must be above 0, at most 12 mm.");
  if (!(weight > 0 && weight <= 1)) return BadInput("AlongRingOptions::weight must be above 0 and at most 1.");
  return std::nullopt;
}

cv::Mat1f AlongRing(const cv::Mat1f& chance, const std::vector<double>& hidden, double bin_mm,
                    const AlongRingOptions& o) {
  const cv::Mat1f steps = Steps(chance.cols, bin_mm, o);
  const cv::Mat1f observed = Observed(chance, hidden, o.weight);
  cv::Mat1f ring = FromOneSide(observed, steps, true);
  cv::multiply(ring, FromOneSide(observed, cv::Mat1f(steps.t()), false), ring);
  cv::multiply(ring, observed, ring);
  for (int line = 0; line < ring.rows; ++line) Normalise(ring.row(line));
  return ring;
}

}  // namespace vision::evidence
