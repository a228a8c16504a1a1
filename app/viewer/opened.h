#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "app/viewer/pyramid.h"
#include "app/viewer/section.h"
#include "app/viewer/welded.h"
#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/reading/reading.h"
#include "vision/reading/source_map.h"

namespace app::viewer {

/// A joint as the window shows it: the files of one measured folder, read once.
struct Opened {
  joint::Joint joint;
  std::filesystem::path folder;  ///< Of reading.json.
  vision::reading::Reading reading;
  cv::Mat3b strip;
  cv::Mat1b seen;                    ///< 255 = examined.
  cv::Mat1b origin;                  ///< Number of the frame a cell came from, 1 = first; may be empty.
  Pyramid pyramid;                   ///< Of strip and seen, for showing.
  std::vector<cv::Mat> source_maps;  ///< One a pose; may be empty.
  std::optional<Heights> heights;    ///< Where the recordings tell heights.
  std::optional<WeldedFilm> welded;  ///< Where welding was recorded and followed.
  std::vector<std::string> remarks;  ///< What was found and could not be used, a sentence each.
};

/// What a path that somebody dropped or named stands for.
struct Request {
  std::filesystem::path joint_file;
  std::filesystem::path folder;  ///< With reading.json; empty = not measured yet.
  /// A recording that no joint file names: still pictures by name, or one video. `joint_file` is empty then.
  std::vector<std::filesystem::path> stills = {};
  std::optional<std::filesystem::path> video = {};

  bool bare() const { return joint_file.empty(); }
};

/// A joint file, a measured folder, or a folder that holds either; a folder of pictures or a video whose joint file
/// has still to be written (`bare`), or lies beside it and names it. Of several measured folders beside a joint file
/// the newest of the same joint is taken.
/// @return kBadInput: one sentence with what to do.
vision::Result<Request> Resolve(const std::filesystem::path& path);

/// By the ending of its name.
bool IsVideo(const std::filesystem::path& file);

/// Reads everything of a measured folder. @return kBadInput where files do not belong together.
vision::Result<Opened> OpenMeasured(const Request& request, const vision::JobContext& job = {});

/// Measures recordings of a joint into `folder` (overwritten whole at the end only). Empty = every recording but those
/// of a plane of light.
vision::Status MeasureInto(const joint::Joint& joint, const std::filesystem::path& folder,
                           const vision::JobContext& job = {});

}  // namespace app::viewer
