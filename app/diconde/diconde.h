#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "app/joint/verdict.h"
#include "vision/base/result.h"
#include "vision/reading/reading.h"

/// A reading as DICOM files with the component module of ASTM E2339: the frames as VL Photographic images, the strip as
/// a Multi-frame True Color Secondary Capture. No DICONDE practice for visible light is known to us, so what is claimed
/// is "E2339 component module in a DICOM visible-light object", nothing more. Names and private blocks: DCMTK's
/// diconde.dic.
namespace app::diconde {

/// One still as it was recorded.
struct Frame {
  std::filesystem::path file;
  std::string name;  ///< As the record calls it.
};

struct Input {
  app::joint::Joint joint;
  vision::reading::Reading reading;
  std::filesystem::path reading_folder;  ///< Where the pictures lie that the reading names.
  std::vector<Frame> frames;
  std::string cycle = "R0";
  std::string record_hash;  ///< Of the revision this comes from; makes the identifiers.
  std::string examined_on;  ///< YYYY-MM-DD; "" = not known.
  std::string inspector;    ///< "" = nobody signed.
  std::string owner;        ///< Of the component; may be empty.
  std::string settings;     ///< How the strip was made.
};

struct Written {
  std::vector<std::filesystem::path> frames;
  std::filesystem::path strip;
};

/// @return kBadInput when a picture is missing or unreadable, kIo when a file cannot be written.
vision::Result<Written> Write(const Input& input, const std::filesystem::path& folder);

/// An identifier under 2.25 (ITU-T X.667) worked out from `text`: the same text, the same identifier.
std::string UidFrom(const std::string& text);

}  // namespace app::diconde
