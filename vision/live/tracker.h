#pragma once

#include <Eigen/Core>
#include <deque>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"
#include "vision/live/drawing.h"
#include "vision/pose/pose.h"

/// Live: where the camera stands now, a strip that fills as it looks, and what to tell the person who holds it.
namespace vision::live {

/// Source: not noted, so taken as chosen; where a field says none.
struct TrackerOptions {
  int block_px = 8;              ///< One followed place in each block of the reduced picture; in [4, 64].
  double nearest_share = 0.25;   ///< Places this far ahead of the camera along z, over the radius, ...
  double farthest_share = 2.2;   ///< ... up to this; nearest < farthest.
  double keyframe_share = 0.12;  ///< Travel, over the radius, after which places are chosen anew; in (0, 1].
  int most_keyframes = 60;       ///< Kept for when the camera comes back; in [1, 1000].
  double least_match = 0.45;     ///< Correlation below which a pose is not believed; in (0, 1).
  double fresh_match = 0.75;     ///< Below: places are chosen anew; in (least_match, 1). No unit.
  int iterations = 8;            ///< At each of two levels; in [1, 100].
  int structure_every = 12;      ///< Of searches in vain by light, one by structure too (a second long); in [1, 1000].
  int darkest = 10;              ///< Grey level under which a place is noise. In [0, 255]. Chosen.
  float least_contrast = 0.03F;  ///< Log grey: a place must stand out by this. In [0, 5]. Chosen.
  int fewest_places = 60;        ///< Places for six numbers, with room for outliers. In [6, 100000]. Chosen.
  /// A followed pose further than this (over R) from its start is not believed. In [0, 10]. Chosen.
  double far_move_share = 0.12;

  [[nodiscard]] Status Check() const;
};

/// One frame's pose as followed.
struct Tracked {
  bore::BoreFromCam pose;
  double match = 0;           ///< Correlation of the wall's drawing with the keyframe's, [-1, 1].
  double share = 0;           ///< Of the keyframe's places that are in this picture.
  double moved_px = 0;        ///< Median move of the followed places since the frame before, pixels of the frame.
  bool found_afresh = false;  ///< From the picture alone (FindPose), not followed.
};

/// Follows the camera from frame to frame: the places of a keyframe lie on the cylinder of the known bore, and
/// Gauss-Newton moves the six numbers of the pose until the new picture shows there what the keyframe showed. Errors
/// grow from keyframe to keyframe; a camera that comes back finds the old ones again. Lost: FindPose starts anew.
class Tracker {
 public:
  Tracker(const bore::Bore& bore, const pose::FrameSetting& setting, const TrackerOptions& options = {});

  /// @param may_search Whether a camera that is lost is looked for in the picture alone (FindPose: tens of ms).
  /// @return kNotFound with a reason while no pose can be told.
  Result<Tracked> Follow(const cv::Mat3b& frame, const Drawing& drawing, bool may_search = true);

  /// Starts from a pose known otherwise.
  void Start(const bore::BoreFromCam& pose, const Drawing& drawing);

  std::size_t keyframes() const { return keyframes_.size(); }

 private:
  struct Place {
    Eigen::Vector3d xyz_mm;
    float fine, coarse;  ///< What the keyframe's two levels show here.
  };
  struct Keyframe {
    bore::BoreFromCam pose;
    std::vector<Place> places;
  };

  Keyframe MakeKeyframe(const bore::BoreFromCam& pose, const Drawing& drawing) const;
  std::optional<Tracked> Fit(const Keyframe& key, const Drawing& drawing, const bore::BoreFromCam& start) const;
  const Keyframe* Nearest(const bore::BoreFromCam& pose) const;
  double MovedPx(const Keyframe& key, const bore::BoreFromCam& from, const bore::BoreFromCam& to) const;
  Result<pose::Pose> Searched(const cv::Mat3b& picture, const pose::FrameSetting& setting);
  Result<Tracked> Afresh(const cv::Mat3b& frame, const Drawing& drawing);
  void KeepUp(const Tracked& tracked, const Drawing& drawing);

  bore::Bore bore_;
  pose::FrameSetting setting_;
  TrackerOptions options_;
  std::deque<Keyframe> keyframes_;
  std::optional<bore::BoreFromCam> last_, before_last_;
  int searched_in_vain_ = 0;
};

/// The lens of a picture made smaller by a whole factor.
camera::Lens Reduced(const camera::Lens& lens, int factor);

}  // namespace vision::live
