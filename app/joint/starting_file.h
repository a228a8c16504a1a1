#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"

/// The joint file that `rootscroll new` writes, and what each of its keys means.
namespace app::joint {

/// What is known when the file is started. The bore must be given in one way; the criterion must be chosen by a person.
struct StartingFileOptions {
  std::string id;                            ///< Must be set.
  std::optional<std::string> nps, schedule;  ///< Both or none.
  std::optional<double> outside_diameter_mm, wall_mm;
  std::optional<double> inside_diameter_mm;
  std::optional<std::string> source;  ///< Where the inside diameter comes from; needed with it.
  std::string criterion;              ///< Name of a shipped set, or path of the user's own file. Must be set.
  std::string material, line;
  std::string stage = "root";       ///< State of the weld in the first recording: root, fit-up, ...; must be set.
  std::vector<std::string> frames;  ///< Still files of the first recording; empty: one placeholder name.
  std::vector<std::string> frames_back = {};  ///< Stills of the same recording taken looking the other way.
  std::optional<std::string> video;           ///< A video file instead of frames.
  std::string looks = "+z";                   ///< +z | -z | side: which way the camera looked.
  /// JSON of a calibrated camera: a camera block, or a file that holds exactly one in "cameras". Empty: none is known.
  std::string camera_json;

  /// First broken constraint, naming the field.
  [[nodiscard]] vision::Status Check() const;
};

/// @return Text of a joint file that LoadJoint accepts. What is not known is left out: no insert, no datum, and no
/// camera until `rootscroll calibrate` has made one. kBadInput from Check.
vision::Result<std::string> StartingFile(const StartingFileOptions& options);

/// One line per key for the screen: JSON path, whether it must be given, what it must be. Made from the schema.
std::string ExplainJointFile();

}  // namespace app::joint
