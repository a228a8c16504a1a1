#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/viewer/opened.h"

namespace app::viewer {

/// One frame that saw a place of the wall.
struct Sight {
  int frame = 0;  ///< Index into reading.poses.
  vision::reading::SourcePoint point;
};

/// Every frame that saw the place: first the one the strip's cell was taken from, then by fineness.
std::vector<Sight> SightsOf(const Opened& opened, double theta_deg, double z_mm);

/// The file a frame lies in and its number there (0 for a still).
struct FrameFile {
  std::filesystem::path file;
  int index = 0;
  bool video = false;
};
/// @return kNotFound when no recording of the joint file has it.
vision::Result<FrameFile> FileOfFrame(const Opened& opened, int frame);

/// Decodes a frame. @return kIo or kBadInput with the file's name.
vision::Result<cv::Mat3b> LoadFrame(const FrameFile& file);

}  // namespace app::viewer
