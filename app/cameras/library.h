#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "vision/base/result.h"

namespace app::cameras {

/// A calibrated camera that lies in the library.
struct KeptCamera {
  std::filesystem::path file;  ///< Holds the camera's block as a joint file takes it.
  std::string id, model, date, lens_serial;
  int width_px = 0, height_px = 0;
};

/// Where the library of this login lies: `rootscroll/cameras` below XDG_DATA_HOME, else below ~/.local/share.
/// @return Empty where neither is known.
std::filesystem::path LibraryFolder();

/// All cameras of a folder that can be read, by id; none where the folder is not there.
std::vector<KeptCamera> CamerasIn(const std::filesystem::path& folder);

/// Puts a camera's block (CameraBlockJson) into the folder. One of the same id and date is never replaced.
/// @return The file written; kBadInput for a text that is no camera block or a camera that is there already; kIo.
vision::Result<std::filesystem::path> Keep(const std::string& block, const std::filesystem::path& folder);

}  // namespace app::cameras
