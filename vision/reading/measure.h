#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bore/bore.h"
#include "vision/camera/lens.h"
#include "vision/pose/pose.h"
#include "vision/reading/max_uncertainty.h"
#include "vision/reading/reading.h"
#include "vision/relief/light.h"

/// The one pipeline: recordings in, Reading out. Each step lives in its own room; here they are only strung together.
namespace vision::reading {

/// One still, or the settings of every frame of a video.
struct FrameInput {
  std::filesystem::path file;
  camera::Lens lens;
  std::optional<std::filesystem::path> mask;  ///< Picture, white where the camera sees itself.
  pose::Facing facing = pose::Facing::kPlusZ;
  std::optional<double> up_theta_deg;           ///< Absent = unknown.
  std::optional<bore::BoreFromCam> known_pose;  ///< z = 0 at the weld's middle.
  std::vector<Eigen::Vector2d> toe_points;      ///< Six or more set by a person on the near toe, or none.
  std::optional<bore::BoreFromCam> head_from_cam = std::nullopt;  ///< Its place on a head of several cameras.
  std::optional<int> shot = std::nullopt;  ///< Frames of one shot were taken together by the cameras of the head.
  pose::MountPrior mount = {};             ///< How the head rides; empty = nothing known.
  std::optional<double> travel_mm =
      std::nullopt;  ///< Reading of a travel counter, growing as the camera moves forward.
  /// The file is a mirror image of what the lens saw (a mirror, or a recorder that flips): turned back before anything.
  bool mirrored = false;
  std::vector<cv::Rect> covered_px = {};  ///< Never shows the wall: burned-in text, px of the picture turned back.
};

/// A picture of a white target taken with the recording's camera and lights, its automatic white balance off.
struct WhiteInput {
  std::filesystem::path file;
  std::optional<cv::Rect> box_px;  ///< Where the target lies in it; absent = the whole picture.
};

struct RecordingInput {
  std::string id, stage;
  std::vector<FrameInput> frames;  ///< Stills; one entry with the settings when `video` is given.
  std::optional<std::filesystem::path> video;
  bool light_section = false;  ///< A plane of light is on: heights come from its stripe.
  std::optional<relief::LightPlane> light_plane =
      std::nullopt;                                ///< What is known of it; absent = calibrated from bare bore.
  std::optional<WhiteInput> white = std::nullopt;  ///< Absent: colour is not assessed.
};

struct MeasureInput {
  std::string joint_id, piece_a, piece_b;
  bore::Bore bore;
  double insert_width_mm = kNotMeasured;
  bool calibrated = false;
  Sentence calibration_note;
  std::vector<RecordingInput> recordings;
};

/// Source: not noted, so taken as chosen; where a field says none.
struct MeasureOptions {
  double pitch_mm = 0.1;  ///< Strip cell; in [0.02, 1].
  double zone_mm = 12.7;  ///< Examined each side of the weld (1/2 in: T9074-AS-GIB-010/271 ch. 8); > 0.
  /// About as far as a bead reaches to either side, mm; > 0: over it the picture's resolution is told for the whole
  /// strip.
  double bead_half_mm = 3;
  double coarsest_for_fusion_mm = 0.5;  ///< EdgeOptions::coarsest_for_fused_mm.
  int video_frames = 12;                ///< Frames taken from a video (film_frames.h); in [1, 200].
  int max_frames = 60;                  ///< More stills than this in one run are refused; > 0.
  /// Share of the ring below which the widths stated are no usual width to bound the search for spots by; in (0, 1]. As
  /// StatingOptions::least_far_share.
  double usual_width_share = 0.3;
  /// Of an indication's own cells, how many may be unseen or covered before it is taken for a thing's edge; in [0, 1].
  /// Chosen.
  double most_unseen_share = 0.15;
  /// A plane of light gives no heights where the camera leans by more, degrees; in (0, 90]. Trials: on one made-up weld
  /// misalignment was off by up to 0.07 mm (95 %) at 3 degrees, by 0.28 and 0.47 mm at 6 and 10, its stated uncertainty
  /// 0.11 mm (fixtures/population/result/sweep.csv).
  double most_lean_for_heights_deg = 4.5;
  MaxExpandedUncertainty max_expanded_uncertainty_mm;  ///< Heights less certain than this are not stated.

  [[nodiscard]] Status Check() const;
};

/// A picture that goes beside reading.json.
struct NamedPicture {
  std::string name;
  cv::Mat image;
};

struct Measured {
  Reading reading;
  std::vector<NamedPicture>
      pictures;  ///< strip.png, strip_seen.png, one crop for each unfused run, overlay of each frame.
};

/// @return kBadInput for what cannot be read. A bore without a weld is an answer, and so is a picture whose place in
/// the bore is not trusted: weld_found = false, no numbers, the wall laid flat for the eye only.
Result<Measured> Measure(const MeasureInput& input, const MeasureOptions& options = {}, const JobContext& job = {});

/// Writes the pictures alone.
Status WritePictures(const Measured& measured, const std::filesystem::path& folder);

/// Writes the pictures, then reading.json last, each under a temporary name first.
Status WriteMeasured(const Measured& measured, const std::filesystem::path& folder);

}  // namespace vision::reading
