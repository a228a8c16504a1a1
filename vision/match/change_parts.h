#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/match/change.h"
#include "vision/match/change_options.h"

namespace vision::match {

/// What both pictures say, cell by cell, on the first one's grid. Channels: ln of brightness, ln red / green,
/// ln blue / green.
struct Evidence {
  unroll::StripGrid grid;
  cv::Mat3f after, expected;                ///< Second picture; what it would be on an untouched wall.
  std::vector<cv::Vec3f> sigma;             ///< Per row: scatter of after about expected.
  cv::Mat1b both;                           ///< Seen in both.
  cv::Mat1b lit_out;                        ///< Not seen in the second, and bright there.
  cv::Mat1f drawing_before, drawing_after;  ///< The wall's own drawing: brightness between 0.3 and 2 mm.

  double arc_pitch_mm() const { return bore_mm() / grid.columns; }
  double bore_mm() const { return 2 * 3.14159265358979323846 * grid.radius_mm; }
};

/// Smallest scatter that is believed, per channel: eight-bit pictures, chroma subsampling.
inline const cv::Vec3f kLeastSigma{0.02F, 0.006F, 0.006F};

Evidence Gather(const FlatPicture& before, const FlatPicture& laid, double light_deg, const EvidenceOptions& o);

/// Cells of a changed spot: (column, row); columns run on over the seam and may lie outside [0, columns).
using Cells = std::vector<cv::Point>;

/// Draws the outline of a pocket that starts from `cells` and fills in all but its texture.
Pocket OutlinePocket(const Evidence& evidence, const Cells& cells, double registration_mm, double resolution_mm,
                     const OutlineOptions& o);

/// A filter over a ring: columns wrap.
template <typename Filter>
cv::Mat OnRing(const cv::Mat& picture, int margin, Filter filter) {
  cv::Mat wide, out;
  cv::copyMakeBorder(picture, wide, 0, 0, margin, margin, cv::BORDER_WRAP);
  filter(wide, out);
  return out.colRange(margin, margin + picture.cols).clone();
}

}  // namespace vision::match
