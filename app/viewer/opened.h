#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "app/viewer/film_beside.h"
#include "app/viewer/pyramid.h"
#include "app/viewer/section.h"
#include "app/viewer/stations.h"
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
  std::optional<repair::Belt> belt;  ///< Numbers on the outside, where a repair file tells of them.
  std::string came_from;             ///< "R0 of LX-114, revision 5 of joints.book"; empty for files of one's own.
  std::vector<std::string> remarks;  ///< What was found and could not be used, a sentence each.
  std::optional<FilmBeside> film;    ///< The radiograph, where a repair file has its picture.
};

/// What a path that somebody dropped or named stands for.
struct Request {
  std::filesystem::path joint_file;
  std::filesystem::path folder;  ///< With reading.json; empty = not measured yet.
  /// A recording that no joint file names: still pictures by name, or one video. `joint_file` is empty then.
  std::vector<std::filesystem::path> stills = {};
  std::optional<std::filesystem::path> video = {};
  std::string came_from = {};
  std::string stage = {};  ///< To be measured; empty = that of the joint's last recording.

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

/// Measures the recordings of one stage of a joint (measure::RecordingsOfStage) into `folder`, overwritten whole at the
/// end only.
/// @param stage Empty = that of the joint's last recording.
vision::Status MeasureInto(const joint::Joint& joint, const std::filesystem::path& folder,
                           const vision::JobContext& job = {}, const std::string& stage = {});

/// Beside the joint file; one a stage where there are several.
std::filesystem::path MeasuredFolderOf(const joint::Joint& joint, const std::string& stage);

}  // namespace app::viewer
