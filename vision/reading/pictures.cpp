#include "vision/reading/pictures.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/base/file.h"
#include "vision/bore/angle.h"
#include "vision/reading/reading.h"
#include "vision/recording/frame_source.h"

namespace vision::reading {
namespace {

constexpr double kCropHalf_mm = 6, kCropMargin_mm = 4, kCropLongest_mm = 60;  ///< Format: pictures of unfused runs.
constexpr int kCropZoom = 4;                                                  ///< Format: the same.

/// Columns of the strip from `from` over `count`, wrapping through theta 0.
cv::Mat Wrapped(const cv::Mat& image, int from, int count) {
  cv::Mat twice;
  cv::hconcat(image, image, twice);
  from = ((from % image.cols) + image.cols) % image.cols;
  return twice.colRange(from, from + std::min(count, image.cols)).clone();
}

cv::Mat CropOf(const unroll::Strip& strip, const UnfusedRun& run, double radius_mm) {
  const double length = std::min(run.arc_mm, kCropLongest_mm) + 2 * kCropMargin_mm;
  const double start_deg = run.start_deg - kCropMargin_mm / radius_mm * bore::kDegPerRad;
  const int count = static_cast<int>(length / bore::ArcMm(strip.grid.theta_pitch_deg(), radius_mm));
  const int from_row = std::clamp(static_cast<int>(strip.grid.Row(-kCropHalf_mm)), 0, strip.grid.rows - 2);
  const int to_row = std::clamp(static_cast<int>(strip.grid.Row(kCropHalf_mm)), from_row + 1, strip.grid.rows);
  cv::Mat crop;
  cv::resize(Wrapped(strip.image.rowRange(from_row, to_row),
                     static_cast<int>(std::lround(strip.grid.Column(start_deg))), count),
             crop, {}, kCropZoom, kCropZoom, cv::INTER_CUBIC);
  return crop;
}

/// Toe lines over the strip: white with a dark edge, readable on paper.
cv::Mat WithToes(const unroll::Strip& strip, const Profile& profile) {
  cv::Mat drawn = strip.image.clone();
  for (const auto* toe : {&profile.left_toe_z_mm, &profile.right_toe_z_mm})
    for (const bool under : {true, false})
      for (std::size_t i = 0; i + 1 < toe->size(); ++i) {
        if (!std::isfinite((*toe)[i]) || !std::isfinite((*toe)[i + 1])) continue;
        const auto at = [&](std::size_t k) {
          return cv::Point(static_cast<int>(std::lround(strip.grid.Column(profile.theta_deg[k]) * 16)),
                           static_cast<int>(std::lround(strip.grid.Row((*toe)[k]) * 16)));
        };
        cv::line(drawn, at(i), at(i + 1), under ? cv::Scalar::all(0) : cv::Scalar(60, 220, 255), under ? 3 : 1,
                 cv::LINE_AA, 4);
      }
  return drawn;
}

}  // namespace

void AddPictures(const unroll::Strip& merged, Measured& measured) {
  Reading& reading = measured.reading;
  auto& picture = reading.strip;
  picture.file = "strip.png";
  picture.mask_file = "strip_seen.png";
  picture.columns = merged.grid.columns;
  picture.rows = merged.grid.rows;
  picture.theta_pitch_deg = merged.grid.theta_pitch_deg();
  picture.pitch_mm = merged.grid.pitch_mm;
  picture.z_from_mm = merged.grid.z_from_mm;
  measured.pictures.push_back({picture.file, merged.image});
  measured.pictures.push_back({picture.mask_file, merged.valid});
  measured.pictures.push_back({"strip_toes.png", WithToes(merged, reading.profile)});
  for (std::size_t i = 0; i < reading.unfused.size(); ++i) {
    reading.unfused[i].picture = "unfused_" + std::to_string(i + 1) + ".png";
    measured.pictures.push_back(
        {reading.unfused[i].picture, CropOf(merged, reading.unfused[i], reading.bore_radius_mm)});
  }
  for (std::size_t i = 0; i < reading.indications.size(); ++i) {
    auto& seen = reading.indications[i];
    UnfusedRun place;
    place.arc_mm = std::isfinite(seen.length_mm) ? seen.length_mm : 1;
    place.start_deg = seen.theta_deg - 0.5 * place.arc_mm / reading.bore_radius_mm * bore::kDegPerRad;
    seen.picture = seen.kind + "_" + std::to_string(i + 1) + ".png";
    measured.pictures.push_back({seen.picture, CropOf(merged, place, reading.bore_radius_mm)});
  }
}

Status WritePictures(const Measured& measured, const std::filesystem::path& folder) {
  if (auto failed = MakeFolder(folder)) return *failed;
  for (const auto& picture : measured.pictures)
    if (auto broken = recording::WritePicture(folder / picture.name, picture.image)) return broken;
  return std::nullopt;
}

Status WriteMeasured(const Measured& measured, const std::filesystem::path& folder) {
  if (auto failed = WritePictures(measured, folder)) return failed;
  return WriteFileWhole(folder / "reading.json", ToJson(measured.reading));
}

}  // namespace vision::reading
