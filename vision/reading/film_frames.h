#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/bore/bore.h"
#include "vision/reading/measure.h"
#include "vision/recording/frame_source.h"
#include "vision/scan/scan.h"

/// Which frames of a whole film a weld is measured by: the film is sorted (vision/scan), and of the frames that show
/// the weld near, lit and sharp some are taken over all distances, so that they can be solved as a push.
namespace vision::reading {

/// Source: not noted, so taken as chosen; where a field says none.
struct FilmOptions {
  int frames = 12;              ///< Taken at the most; in [1, 200].
  int most_stills = 40;         ///< A recording of more stills is chosen from as a film is; >= frames.
  double nearest_radii = 0.25;  ///< From camera to weld; nearer it leaves most pictures (scan); in [0, farthest_radii).
  /// Far toe and gaps need it near: from 1.3 R the far toe is its crown's shade (DEVELOPERS.md, table of far toes).
  /// > nearest_radii.
  double farthest_radii = 1.3;
  /// And no farther than the nearest usable frame by so much, where that is farther off: a push needs travel; > 0.
  double travel_radii = 0.8;
  double longest_gap_s = 3.5;  ///< Between two frames that show the weld, for the distance in between; > 0.
  double blurred_times = 1.8;  ///< Frames blurred beyond so many times the film's usual are not taken; > 1 (scan).

  [[nodiscard]] Status Check() const;
};

struct FilmFrames {
  std::vector<recording::FrameSpan> spans;  ///< The sharpest frame of each is taken, in order of time.
  Sentence told;                            ///< Which and why.
  std::vector<cv::Rect> burned_in;          ///< Text and clocks in the picture, px of the file's picture.
};

/// Picks among frames already looked at. @return No spans where no frame shows a weld.
FilmFrames PickFrames(const scan::Scanned& scanned, const FilmOptions& options);

/// Scans the film with the joint's camera and picks; equal stretches of the whole where no weld is found on the way.
/// @param video A film, or a folder of stills in the order of their names.
Result<FilmFrames> ChooseFrames(const std::filesystem::path& video, const FrameInput& input, const bore::Bore& bore,
                                const FilmOptions& options = {}, const JobContext& job = {});

}  // namespace vision::reading
