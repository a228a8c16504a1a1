#include "vision/evidence/evidence.h"

#include <algorithm>
#include <cmath>

#include "vision/evidence/along_ring.h"
#include "vision/evidence/network.h"

namespace vision::evidence {
namespace {

constexpr double kAround_mm = 1.01;   ///< Bins that make the mean, either way of the likeliest.
constexpr double kLeastSight = 1e-9;  ///< So that no line is divided by zero.

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

/// Chance that the toe is in sight: out of it is one more place beside the bins, at the mean of its map.
double InSight(const cv::Mat1f& toe, const cv::Mat1f& hidden, int line) {
  double top = -1e30, mean = 0;
  for (int k = 0; k < kBins; ++k) top = std::max<double>(top, toe(k, line)), mean += hidden(k, line);
  mean /= kBins;
  double sum = 0;
  for (int k = 0; k < kBins; ++k) sum += std::exp(toe(k, line) - top);
  return 1 - 1 / (1 + sum * std::exp(top - mean));
}

/// From a spread to a standard uncertainty: what is fitted with the model, and what a pixel leaves open at the place.
class Doubt {
 public:
  Doubt(std::size_t side, const cv::Mat1f& log_resolution) : side_(side), log_resolution_(log_resolution) {}

  double UMm(double spread_mm, double z_mm, int line) const {
    const Trust& trust = TheTrust();
    const int row =
        std::clamp(static_cast<int>(std::lround(z_mm / kRowPitch_mm)) + kWindowRows / 2, 0, kWindowRows - 1);
    const double pixel_mm = std::exp(static_cast<double>(log_resolution_(row, 2 * line)));
    return std::hypot(trust.spread_scale[side_] * spread_mm, trust.spread_floor_mm,
                      trust.spread_floor_px[side_] * pixel_mm);
  }

 private:
  std::size_t side_;
  const cv::Mat1f& log_resolution_;
};

/// Where the toe lies, near side first.
struct Found {
  double z_mm = 0, u_mm = 0;
};

Found Place(const float* chance, int line, const Doubt& doubt) {
  const double best = BinMm(static_cast<int>(std::max_element(chance, chance + kBins) - chance));
  double sum = 0, mean = 0, spread = 0;
  for (int k = 0; k < kBins; ++k)
    if (std::abs(BinMm(k) - best) < kAround_mm) sum += chance[k], mean += chance[k] * BinMm(k);
  mean /= sum;
  for (int k = 0; k < kBins; ++k) spread += chance[k] * (BinMm(k) - mean) * (BinMm(k) - mean);
  return {mean, doubt.UMm(std::sqrt(spread), mean, line)};
}

/// A far toe as each line tells it by itself, or as its neighbours do where these are surer. A near toe that its own
/// line leaves open is mostly covered or unlit, and the neighbours' word does not hold there (DEVELOPERS.md).
void PlaceEach(const Doubt& doubt, bool far, bool near_is_left, ToeEvidence& toe) {
  const double sign = near_is_left ? 1 : -1;
  const cv::Mat1f ring = far ? AlongRing(toe.chance, toe.hidden, kBin_mm) : cv::Mat1f();
  for (int line = 0; line < kLines; ++line) {
    const auto i = static_cast<std::size_t>(line);
    Found found = Place(toe.chance[line], line, doubt);
    const Found by_neighbours = far ? Place(ring[line], line, doubt) : found;
    if (by_neighbours.u_mm < found.u_mm) {
      found = by_neighbours;
      ring.row(line).copyTo(toe.chance.row(line));
    }
    toe.z_mm[i] = sign * found.z_mm, toe.u_mm[i] = found.u_mm;
  }
}

/// Of all networks: the mean of their chances (`places`), each weighed by how likely it holds the toe to be in sight.
ToeEvidence ToeOf(const std::vector<Heads>& said, const std::vector<cv::Mat1f>& places, std::size_t side,
                  bool near_is_left, const cv::Mat1f& log_resolution) {
  ToeEvidence out{std::vector<double>(kLines), std::vector<double>(kLines), std::vector<double>(kLines),
                  cv::Mat1f(kLines, kBins, 0.0F)};
  std::vector<double> sight(kLines);
  for (std::size_t n = 0; n < said.size(); ++n) {
    for (int line = 0; line < kLines; ++line) {
      const double here = std::max(kLeastSight, InSight(said[n][kNearToe + side], said[n][kNearHidden + side], line));
      sight[static_cast<std::size_t>(line)] += here;
      for (int k = 0; k < kBins; ++k) out.chance(line, k) += static_cast<float>(here) * places[n](line, k);
    }
  }
  for (int line = 0; line < kLines; ++line) {
    const auto i = static_cast<std::size_t>(line);
    out.chance.row(line) /= sight[i];
    out.hidden[i] = 1 - sight[i] / static_cast<double>(said.size());
  }
  PlaceEach(Doubt(side, log_resolution), side == 1, near_is_left, out);
  return out;
}

/// A head read where its network thinks that the near toe lies; mean chance of all networks.
std::vector<double> AtNearToe(const std::vector<Heads>& said, const std::vector<cv::Mat1f>& near, Head head) {
  std::vector<double> out(kLines);
  for (std::size_t n = 0; n < said.size(); ++n) {
    for (int line = 0; line < kLines; ++line) {
      double logit = 0;
      for (int k = 0; k < kBins; ++k) logit += static_cast<double>(near[n](line, k)) * said[n][head](k, line);
      out[static_cast<std::size_t>(line)] += Logistic(logit) / static_cast<double>(said.size());
    }
  }
  return out;
}

cv::Mat1f ChanceMap(const std::vector<Heads>& said, Head head) {
  cv::Mat1f out(kBins, kLines, 0.0F);
  for (const Heads& heads : said)
    for (int row = 0; row < kBins; ++row)
      for (int line = 0; line < kLines; ++line)
        out(row, line) += static_cast<float>(Logistic(static_cast<double>(heads[head](row, line))) /
                                             static_cast<double>(said.size()));
  return out;
}

}  // namespace

double StripEvidence::CoveredAt(double z_mm, int line) const {
  return static_cast<double>(covered(std::clamp(static_cast<int>(std::lround(Row(z_mm))), 0, kBins - 1), line));
}

StripEvidence MeanOf(const std::vector<Heads>& said, bool near_is_left, const cv::Mat1f& log_resolution) {
  StripEvidence out;
  out.near_is_left = near_is_left;
  std::vector<cv::Mat1f> near, far;
  for (const Heads& heads : said) near.push_back(Chances(heads[kNearToe])), far.push_back(Chances(heads[kFarToe]));
  out.near = ToeOf(said, near, 0, near_is_left, log_resolution);
  out.far = ToeOf(said, far, 1, near_is_left, log_resolution);
  out.unfused = AtNearToe(said, near, kUnfused);
  out.hollow = AtNearToe(said, near, kHollowHead);
  out.covered = ChanceMap(said, kCoveredHead);
  out.pore = ChanceMap(said, kPoreHead);
  out.near_undercut = ChanceMap(said, kNearUndercutHead);
  out.far_undercut = ChanceMap(said, kFarUndercutHead);
  out.pocket = ChanceMap(said, kPocketHead);
  out.scale = ChanceMap(said, kScaleHead);
  return out;
}

Result<StripEvidence> ReadStrip(const unroll::Strip& strip, const Sight& sight, const JobContext& job) {
  if (strip.image.empty()) return BadInput("the strip has no picture.");
  if (job.Cancelled()) return Cancelled();
  const LaidFlat laid = LayFlat(strip, sight.near_is_left);
  const auto said = RunNetworks(InputOf(laid, Obliquity(sight, strip.grid.radius_mm)));
  if (job.Cancelled()) return Cancelled();
  return MeanOf(said, sight.near_is_left, laid.log_resolution);
}

}  // namespace vision::evidence
