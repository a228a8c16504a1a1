#include "vision/evidence/evidence.h"

#include <algorithm>
#include <cmath>

#include "vision/evidence/network.h"

namespace vision::evidence {
namespace {

constexpr double kAround_mm = 1.01;  ///< Bins that make the mean, either way of the likeliest.

double BinMm(int bin) { return kFirstBin_mm + bin * kBin_mm; }
double Logistic(double x) { return 1 / (1 + std::exp(-x)); }

/// Chance of each bin on each line (lines x bins), rows adding up to 1.
cv::Mat1f Chances(const cv::Mat1f& logits) {
  cv::Mat1f chance;
  cv::transpose(logits, chance);
  for (int line = 0; line < kLines; ++line) {
    float* row = chance[line];
    const float top = *std::max_element(row, row + kBins);
    float sum = 0;
    for (int k = 0; k < kBins; ++k) sum += row[k] = std::exp(row[k] - top);
    for (int k = 0; k < kBins; ++k) row[k] /= sum;
  }
  return chance;
}

/// Chance that the toe is out of sight: one more place beside the bins, at the mean of its map.
double Hidden(const cv::Mat1f& toe, const cv::Mat1f& hidden, int line) {
  double top = -1e30, mean = 0;
  for (int k = 0; k < kBins; ++k) top = std::max<double>(top, toe(k, line)), mean += hidden(k, line);
  mean /= kBins;
  double sum = 0;
  for (int k = 0; k < kBins; ++k) sum += std::exp(toe(k, line) - top);
  return 1 / (1 + sum * std::exp(top - mean));
}

void Place(const float* chance, double scale, double floor_mm, double sign, double* z_mm, double* u_mm) {
  const double best = BinMm(static_cast<int>(std::max_element(chance, chance + kBins) - chance));
  double sum = 0, mean = 0, spread = 0;
  for (int k = 0; k < kBins; ++k)
    if (std::abs(BinMm(k) - best) < kAround_mm) sum += chance[k], mean += chance[k] * BinMm(k);
  mean /= sum;
  for (int k = 0; k < kBins; ++k) spread += chance[k] * (BinMm(k) - mean) * (BinMm(k) - mean);
  *z_mm = sign * mean;
  *u_mm = std::hypot(scale * std::sqrt(spread), floor_mm);
}

ToeEvidence ToeOf(const std::vector<cv::Mat1f>& heads, int side, bool near_is_left) {
  const Trust& trust = TheTrust();
  const auto s = static_cast<std::size_t>(side);
  const cv::Mat1f& toe = heads[kNearToe + s];
  ToeEvidence out{std::vector<double>(kLines), std::vector<double>(kLines), std::vector<double>(kLines), Chances(toe)};
  for (int line = 0; line < kLines; ++line) {
    const auto i = static_cast<std::size_t>(line);
    Place(out.chance[line], trust.spread_scale[s], trust.spread_floor_mm, near_is_left ? 1 : -1, &out.z_mm[i],
          &out.u_mm[i]);
    out.hidden[i] = Hidden(toe, heads[kNearHidden + s], line);
  }
  return out;
}

/// A head read where the near toe is likely to lie.
std::vector<double> AtNearToe(const cv::Mat1f& near_chance, const cv::Mat1f& head) {
  std::vector<double> out;
  for (int line = 0; line < kLines; ++line) {
    double logit = 0;
    for (int k = 0; k < kBins; ++k) logit += static_cast<double>(near_chance(line, k)) * head(k, line);
    out.push_back(Logistic(logit));
  }
  return out;
}

cv::Mat1f ChanceMap(const cv::Mat1f& logits) {
  cv::Mat1f out(logits.size());
  for (int row = 0; row < logits.rows; ++row)
    for (int line = 0; line < logits.cols; ++line)
      out(row, line) = static_cast<float>(Logistic(static_cast<double>(logits(row, line))));
  return out;
}

}  // namespace

double StripEvidence::CoveredAt(double z_mm, int line) const {
  return static_cast<double>(covered(std::clamp(static_cast<int>(std::lround(Row(z_mm))), 0, kBins - 1), line));
}

Result<StripEvidence> ReadStrip(const unroll::Strip& strip, const Sight& sight, const JobContext& job) {
  if (strip.image.empty()) return BadInput("the strip has no picture.");
  if (job.Cancelled()) return Cancelled();
  const auto heads = RunNetwork(InputOf(LayFlat(strip, sight.near_is_left), Obliquity(sight, strip.grid.radius_mm)));
  if (job.Cancelled()) return Cancelled();
  StripEvidence out;
  out.near_is_left = sight.near_is_left;
  out.near = ToeOf(heads, 0, sight.near_is_left);
  out.far = ToeOf(heads, 1, sight.near_is_left);
  out.unfused = AtNearToe(out.near.chance, heads[kUnfused]);
  out.hollow = AtNearToe(out.near.chance, heads[kHollowHead]);
  out.covered = ChanceMap(heads[kCoveredHead]);
  out.pore = ChanceMap(heads[kPoreHead]);
  out.near_undercut = ChanceMap(heads[kNearUndercutHead]);
  out.far_undercut = ChanceMap(heads[kFarUndercutHead]);
  out.pocket = ChanceMap(heads[kPocketHead]);
  out.scale = ChanceMap(heads[kScaleHead]);
  return out;
}

}  // namespace vision::evidence
