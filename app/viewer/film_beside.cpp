#include "app/viewer/film_beside.h"

#include <algorithm>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "app/repair/repair_file.h"
#include "app/viewer/stations.h"

namespace app::viewer {
namespace {

constexpr int kWidest_px = 6000;  ///< A scan is kept no finer than a page can show.

}  // namespace

namespace {
void ShrinkTo(int widest_px, FilmBeside& beside) {
  const double shrink = std::min(1.0, static_cast<double>(widest_px) / beside.picture.cols);
  if (shrink >= 1) return;
  cv::resize(beside.picture, beside.picture, {}, shrink, shrink, cv::INTER_AREA);
  for (auto& stretch : beside.stretches) stretch.x_from_px *= shrink, stretch.x_to_px *= shrink;
}
}  // namespace

std::optional<FilmBeside> FindFilm(const joint::Joint& joint, std::vector<std::string>& remarks) {
  for (const auto& file : RepairFiles(joint)) {
    const auto repair = repair::LoadRepair(file);
    if (!repair.ok() || repair.value().joint_id != joint.id) continue;  // FindBelt says why
    const auto& film = repair.value().film;
    if (!film || !film->picture) continue;
    FilmBeside beside{cv::imread(film->picture->file.string(), cv::IMREAD_COLOR),
                      repair::StretchesOf(*film->picture, film->belt)};
    if (beside.picture.empty()) {
      remarks.push_back(file.string() + ": film.picture.file, " + film->picture->file.string() +
                        ", is not a picture that can be read; the radiograph is not shown.");
      continue;
    }
    ShrinkTo(kWidest_px, beside);
    if (film->indication.up_points == repair::View::kAlongPlusZ) cv::flip(beside.picture, beside.picture, 0);
    return beside;
  }
  return std::nullopt;
}

}  // namespace app::viewer
