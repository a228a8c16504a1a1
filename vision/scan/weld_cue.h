#pragma once

#include <opencv2/core.hpp>
#include <optional>

#include "vision/base/result.h"
#include "vision/camera/lens.h"
#include "vision/pose/pose.h"

/// Is there a weld in the picture? The cue is a band at one place along the bore seen at (nearly) every clock position:
/// a circle round the bore's axis that stands out from the wall's own bands. How bright it is does not matter.
namespace vision::scan {

/// What is known of the camera beforehand.
struct CameraKnown {
  camera::Lens lens;        ///< Of the full picture.
  double radius_mm = 0;     ///< Of the bore; 0 = not known, distances then in radii only.
  cv::Mat1b mask;           ///< 255 = never sees the wall there; full size or empty.
  bool calibrated = false;  ///< false: a guessed lens.
};

/// An equidistant lens looking along its middle, 75 degrees at the edge of what is lit in `grey` (the lens's own rim):
/// what is taken where no camera is given. Good enough to tell a ring from none, not for distances.
/// @param size Of the full picture. @param grey The picture reduced.
CameraKnown GuessedCamera(cv::Size size, const cv::Mat1b& grey);

struct WeldCue {
  bool bore = false;          ///< Does the picture darken about one direction as a pipe's far end does?
  double ring_strength = 0;   ///< Energy of the strongest ring over that of the wall's own bands (pose::RingSeen).
  double around = 0;          ///< Share of clock positions at which the ring stands out by itself, in [0, 1].
  double distance_radii = 0;  ///< Along the axis from the camera to the ring over the bore's radius; 0 = no ring.
  double chance = 0;          ///< By structure: that it is this ring and no other, in [0, 1].
  bool by_structure = false;  ///< Told by the bore's structure (structure_cue.h), which is sure by itself.
  double glare = -1;          ///< Share at full scale of the ring and the wall beside it; negative = not known.
};

/// Source: not noted, so taken as chosen; where a field says none.
struct CueOptions {
  double min_strength = 25;  ///< As pose::PoseOptions::min_ring_strength. No unit.
  double min_around = 0.6;   ///< In (0, 1]. No unit.
  int places = 36;           ///< Clock positions at which the ring is looked for by itself; in [8, 720]. Chosen.
  int within = 5;            ///< Places averaged at each; in [1, 100]. Chosen.

  [[nodiscard]] Status Check() const;
};

/// Does the cue show a weld?
bool WeldSeen(const WeldCue& cue, const CueOptions& options);

/// The same lens behind a picture `reduce` times smaller (area averages: pixel centres shift by half a pixel), its mask
/// with it.
pose::FrameSetting Reduced(const CameraKnown& camera, double reduce, cv::Size size);

/// Share of places at or above 98 % of full scale on circles of the bore from 0.1 radii before z to as far behind it.
/// @param z, radius_mm Of the bore frame of `bore_from_cam`. @return Negative where less than a quarter is seen.
double GlareAbout(const cv::Mat1b& grey, const camera::Lens& lens, const bore::BoreFromCam& bore_from_cam, double z_mm,
                  double radius_mm);

/// Looks for the weld in one reduced grey picture.
/// @param reduce How much smaller `grey` is than the lens's picture.
WeldCue FindWeldCue(const cv::Mat1b& grey, const CameraKnown& camera, double reduce, const CueOptions& o = {});

}  // namespace vision::scan
