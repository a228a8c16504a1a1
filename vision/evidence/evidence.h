#pragma once

#include <array>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bore/stations.h"
#include "vision/evidence/laid_flat.h"

/// A fitted reader of the strip: what can be seen on it, each with how likely it is so. Its numbers come out of
/// scripts/train_evidence.py and export_evidence.py, from made-up scenes alone; no scene that judges was among them.
/// It looks; what the look is worth in mm (pose, misalignment, what hides what) is for the rooms that use it.
/// Supports and never replaces the qualified examiner.
namespace vision::evidence {

constexpr int kLines = bore::kStationLines, kBins = 128;  ///< Format: the network's output.
constexpr double kBin_mm = 0.2,
                 kFirstBin_mm = -12.75;  ///< Format: bin k at z = kFirstBin_mm + k * kBin_mm, near side first.

/// Which model speaks.
struct Model {
  std::string name;
  int version = 0;
  std::string sha256;  ///< Of strip_reader.json, which holds the levels and the networks' own; hexadecimal.
  /// "strip_reader 1 (sha256 0123456789ab)".
  std::string Named() const;
  std::string NamedInFull() const;  ///< The same with all 64 digits.
};
const Model& TheModel();

/// From which level of chance something is stated, and what spreads are multiplied by; all fitted on held-out made-up
/// scenes by export_evidence.py (strip_reader.json). Chances in [0, 1].
struct Trust {
  std::array<double, 2> spread_scale{1, 1};  ///< Near, far; in (0, 10].
  double spread_floor_mm = 0.03;             ///< Added in quadrature; >= 0.
  /// Near, far: share of what a source pixel spans along z where the toe lies, added in quadrature; in [0, 1].
  std::array<double, 2> spread_floor_px{0, 0};
  std::array<double, 2> hidden_below{0.5, 0.5};  ///< A toe whose chance to be hidden is not below is not stated.
  double edge_hidden_below = 0.5;                ///< The near edge is spoken of below this chance to be hidden.
  double unfused_above = 0.9;                    ///< The near edge is called unfused.
  double unfused_goes_on_above = 0.9;            ///< And on from such a place while the chance stays above this.
  double fused_below = 0.1;                      ///< It is called fused. Between: nothing is said.
  double covered_above = 0.5, pore_above = 0.5, near_undercut_above = 0.5, far_undercut_above = 0.5, pocket_above = 0.5,
         scale_above = 0.5;

  /// First broken constraint, naming the field.
  [[nodiscard]] Status Check() const;
};
/// As fitted with the model.
const Trust& TheTrust();

/// One toe over the 720 station lines (theta = 0.5 degree * index), z in the strip's own direction. A near toe is told
/// by each line itself, a far one by its neighbours along the ring where they are surer (along_ring.h).
struct ToeEvidence {
  std::vector<double> z_mm;    ///< Given that it is in sight: mean of the bins within 1 mm of the likeliest.
  std::vector<double> u_mm;    ///< Spread of the whole distribution, calibrated; of the look alone.
  std::vector<double> hidden;  ///< Chance that the toe is not in sight.
  cv::Mat1f chance;            ///< kLines x kBins: of each bin given that it is in sight, near side first.
};

/// Maps are kBins x kLines cells (0.2 mm x 0.5 degree), rows near side first.
struct StripEvidence {
  bool near_is_left = true;
  ToeEvidence near, far;
  std::vector<double>
      unfused;  ///< Chance that the insert's near edge kept its shape; told only where `near` is in sight.
  std::vector<double> hollow;  ///< Chance that the root is hollow.
  cv::Mat1f covered;           ///< Something stands before the wall, or glare lies on it.
  cv::Mat1f pore, near_undercut, far_undercut, pocket, scale;

  /// Row of the maps at the strip's z; may lie outside.
  double Row(double z_mm) const { return ((near_is_left ? z_mm : -z_mm) - kFirstBin_mm) / kBin_mm; }
  /// Chance that the place is covered; beyond the maps that of their rim.
  double CoveredAt(double z_mm, int line) const;
};

/// The mean of what two networks say, so that what they disagree on is in doubt. The same strip and sight give the same
/// evidence on any number of threads. About 0.7 s on one core.
/// @return kBadInput for a strip without picture.
Result<StripEvidence> ReadStrip(const unroll::Strip& strip, const Sight& sight, const JobContext& job = {});

}  // namespace vision::evidence
