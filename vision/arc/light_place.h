#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/bore/bore.h"
#include "vision/pose/pose.h"

/// Where around the root the light of arc and pool is brightest, in one picture.
namespace vision::arc {

/// Source: not noted, so taken as chosen; where a field says none.
struct LightOptions {
  double band_mm = 4;     ///< Looked at along z on both sides of the joint; in (0, 20].
  double pitch_mm = 0.2;  ///< Around and (doubled) along z; in [0.05, 1].
  double pool_mm = 0.7;   ///< Standard deviation of the smoothing along the root; in [0.1, 5].
  /// A place's light over the median around the ring: below, it does not glow. In a picture made dark for the arc
  /// (`dark_ring`) 2: in made-up films the dimmest pool had 3.6. In a bright one 5: glints of a fresh bead reached 3.
  /// > 1.
  double least_contrast = 2, least_contrast_bright = 5;
  double dark_ring = 0.05;  ///< Median light around the ring, share of full scale; in (0, 1).
  double apart_mm = 4;      ///< Two bright places are two when so far from each other; in [1, 50].
  int most_places = 4;      ///< Spatter that lies on the root may outshine the pool; in [1, 20].
  double dark = 0.002;      ///< Share of full scale: what a dark picture has by noise alone; in [0, 1]. Chosen.

  [[nodiscard]] Status Check() const;
};

/// A bright place along the root.
struct LightPlace {
  double theta_deg = 0;   ///< In [0, 360).
  double level = 0;       ///< Smoothed light there, share of full scale; 1 = all three channels at full scale.
  double contrast = 0;    ///< Of the brightest channel over its median all round: a dim pool glows red.
  double full_share = 0;  ///< Share of the smoothing width at full scale in every channel.
  bool glows = false;     ///< contrast at or above LightOptions asks for.
};

/// Reads the ring of the root out of pictures of one size as seen from a pose. Light is taken as the inverse of the
/// display curve of IEC 61966-2-1, so a camera with another curve only bends the level's scale. What is blown out in
/// one channel is told by the others; what is blown out in all has its middle.
class RootRing {
 public:
  RootRing(const bore::Bore& bore, const pose::FrameSetting& setting, const LightOptions& options = {});

  /// The camera moved. Costs as much as some ten pictures.
  void LookFrom(const bore::BoreFromCam& pose);

  /// @param frame BGR. @return The ring laid flat: rows along z, columns around; empty while no pose is known.
  cv::Mat3b Lay(const cv::Mat3b& frame) const;

  /// @param strip From Lay(), or MiddleOf() three of them. @return The brightest place first, after it others that
  /// glow; empty where none of the ring is in the picture.
  std::vector<LightPlace> Find(const cv::Mat3b& strip) const;

 private:
  LightPlace PlaceAt(const std::vector<float>& smooth, std::size_t best) const;

  bore::Bore bore_;
  pose::FrameSetting setting_;
  LightOptions options_;
  cv::Mat2f map_;   ///< Rows along z, columns around.
  cv::Mat1b seen_;  ///< 255 where the map hits the picture and no mask.
  std::vector<float> weights_;
};

/// The middle value of three strips that follow each other, cell by cell: a drop in flight is in one only.
cv::Mat3b MiddleOf(const cv::Mat3b& before, const cv::Mat3b& now, const cv::Mat3b& after);

}  // namespace vision::arc
