#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"

namespace app::joint {

/// A further recording of a joint, as a person tells of it.
struct NewRecording {
  std::string id;                    ///< Not used by another recording of the joint.
  std::string stage;                 ///< "fit-up", "root", "after blend 1"; must be set.
  std::vector<std::string> frames;   ///< Still files, or ...
  std::optional<std::string> video;  ///< ... one video.
  std::string camera;                ///< Id of one of the joint file's cameras.
  std::string looks;                 ///< +z | -z | side
  std::optional<double> up_theta_deg;

  [[nodiscard]] vision::Status Check() const;  ///< First broken constraint, naming the field.
};

/// The id a stage suggests: "after blend 1" gives "after-blend-1".
std::string IdOfStage(const std::string& stage);

/// A file as the joint file names it: from its own folder where it lies there, so that the folder can move.
std::string NamedFrom(const std::filesystem::path& joint_file, const std::filesystem::path& file);

/// The joint file's text with the recording added at its end; nothing else changes.
/// @param name How the file is called in a message.
/// @return kBadInput for a text that is no joint file, an id that is taken or a camera it does not have.
vision::Result<std::string> WithRecording(const std::string& text, const NewRecording& recording,
                                          const std::string& name);

}  // namespace app::joint
