#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/scan/frame_look.h"

/// The weld told by the bore's structure (vision/pose), for what light does not tell: a dam, hoses, an elbow, lamps on
/// the head. The whole picture is searched on key frames alone, and on none while the weld stands sure: then the camera
/// is looked for about its last place.
namespace vision::scan {

/// Source: not noted, so taken as chosen; where a field says none.
struct StructureCueOptions {
  bool on = true;
  int width_px = 640;      ///< Pictures are made about so wide first; in [320, 1280].
  double key_every_s = 1;  ///< Of the recording, between two searches of the whole while no weld stands sure; > 0.
  double near_deg = 2;     ///< About the last place; in (0, 10].
  /// As pose::StructureOptions: half of a search's time is the fitted reader's, and here the distance alone is asked
  /// for, not the stand; in [0, 6], [1, 6]. Trials: DEVELOPERS.md.
  int read_places = 1, most_looks = 2;
  int near_looks = 1;         ///< The same about the last place; in [1, 6].
  double least_chance = 0.5;  ///< Of WeldSeen, that it is this ring and no other; in [0, 1]. More likely than not.
  /// Contrast (light and texture together, over the profile's spread) from which a ring is a weld by itself; less, only
  /// beside one in time; >= 0. In five drawn films welds nearer than 1.2 radii reach 13 to 61, rings that ride with the
  /// head (a rim, a lamp's edge) 17, and 38 in blurred pictures.
  double sure_strength = 12;
  /// Or its chance, where two beside each other in time reach it: in small or hazy pictures a weld stands out less (2
  /// to 11 in a drawn film of a dam and hoses, chance above 0.96 nearer than 1.2 radii); in [least_chance, 1].
  double sure_chance = 0.95;
  double beside_s = 3.5;      ///< Two answers no farther apart are beside each other; > 0.
  double radii_a_second = 1;  ///< The head is driven no faster; > 0. Common practice, no source. Radii a second.
  double least_share =
      0.3;               ///< Of the strongest told no nearer within `around_s`: nearer a weld stands out more; [0, 1].
  double around_s = 30;  ///< > 0.

  [[nodiscard]] Status Check() const;
};

/// As thorough as a pose is sought, where time does not press: for the frames that a weld is measured by.
StructureCueOptions Thorough();

/// What the answers of a whole recording say together: a weak ring counts beside a sure one only, one weaker than the
/// same weld from farther off is none, and a search in vain between two that found the weld is passed over.
void SettleCues(std::vector<FrameLook>& looks, const StructureCueOptions& options);

class StructureCue {
 public:
  /// @param camera Calibrated, with the bore's radius.
  StructureCue(const CameraKnown& camera, const StructureCueOptions& options) : camera_(camera), options_(options) {}

  /// @param picture BGR or grey, `reduce` times smaller than the camera's.
  /// @return nullopt: not due.
  std::optional<WeldCue> Look(const cv::Mat& picture, double reduce, double time_s, const JobContext& job = {});

  long searched() const { return searched_; }  ///< Whole pictures.

 private:
  std::optional<WeldCue> Found(const cv::Mat3b& picture, const pose::FrameSetting& setting,
                               const pose::PoseOptions& options, const JobContext& job);

  CameraKnown camera_;
  StructureCueOptions options_;
  std::optional<bore::BoreFromCam> last_;
  bool sure_ = false;  ///< The weld stood sure at `last_`.
  double next_key_s_ = 0;
  long searched_ = 0;
};

}  // namespace vision::scan
