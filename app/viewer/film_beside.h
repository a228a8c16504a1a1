#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "app/repair/film_picture.h"

namespace app::viewer {

/// The radiograph's picture as it lies beside the strip.
struct FilmBeside {
  cv::Mat3b picture;  ///< +z down, as on the page, where the film says which way is up; else as it lies.
  std::vector<repair::FilmStretch> stretches;
};

/// The picture of the first repair file beside the joint file that has one for this joint.
/// @param remarks Hears a sentence where the picture cannot be read.
std::optional<FilmBeside> FindFilm(const joint::Joint& joint, std::vector<std::string>& remarks);

}  // namespace app::viewer
