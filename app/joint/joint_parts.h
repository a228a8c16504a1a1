#pragma once

#include <filesystem>
#include <string>

#include "app/joint/joint.h"
#include "app/joint/json_check.h"

/// The parts of a joint file, each from JSON that has passed the schema. Used by LoadJoint only.
namespace app::joint {

/// Where a part stands in which file: makes messages.
struct Where {
  std::string file;  ///< As people call it.
  std::string path;  ///< JSON path, such as "/joint/pipe".

  Where Child(const std::string& step) const { return {file, path + "/" + step}; }
  vision::Error Wrong(const std::string& what) const { return vision::BadInput(file + ": " + path + " " + what); }
};

vision::Result<Pipe> ReadPipe(const Json& json, const Where& where);
vision::Result<Piece> ReadPiece(const Json& json, const Where& where);
vision::Result<Camera> ReadCamera(const Json& json, const Where& where, const std::filesystem::path& folder);
vision::Result<Recording> ReadRecording(const Json& json, const Where& where, const std::filesystem::path& folder);

}  // namespace app::joint
