#include "vision/reading/source_map.h"

#include <algorithm>
#include <cmath>

#include "vision/bore/angle.h"
#include "vision/unroll/unroll.h"

namespace vision::reading {
namespace {

unsigned short Packed(double value) { return static_cast<unsigned short>(std::clamp(value, 0.0, 65535.0)); }

}  // namespace

cv::Mat EncodeSourceMap(const unroll::Strip& strip) {
  const auto& grid = strip.grid;
  cv::Mat3w map((grid.rows - 1) / kSourceMapStep + 1, (grid.columns - 1) / kSourceMapStep + 1, cv::Vec3w(0, 0, 0));
  for (int row = 0; row < map.rows; ++row)
    for (int column = 0; column < map.cols; ++column) {
      const cv::Point cell(column * kSourceMapStep, row * kSourceMapStep);
      const auto pixel = strip.source_px(cell);
      const float fine = strip.resolution_z_mm(cell);
      if (strip.source_frame(cell) < 0 || !(pixel[0] >= 0) || !(pixel[1] >= 0)) continue;
      map(row, column) = {Packed(std::round(pixel[0] * kSourceMapUnit) + 1),
                          Packed(std::round(pixel[1] * kSourceMapUnit) + 1),
                          Packed(std::isfinite(fine) ? std::round(fine * kSourceMapFine) : 65535)};
    }
  return map;
}

std::optional<SourcePoint> LookUp(const cv::Mat& map, const StripPicture& strip, double theta_deg, double z_mm) {
  if (map.type() != CV_16UC3 || map.empty() || strip.columns < 1 || !(strip.pitch_mm > 0)) return std::nullopt;
  const double column = bore::Wrap360(theta_deg) / strip.theta_pitch_deg,
               row = (z_mm - strip.z_from_mm) / strip.pitch_mm / kSourceMapStep;
  const int left = std::min(static_cast<int>(column / kSourceMapStep), map.cols - 1), right = (left + 1) % map.cols;
  const int top = static_cast<int>(std::floor(row)), bottom = std::min(top + 1, map.rows - 1);
  if (top < 0 || row > (strip.rows - 1.0) / kSourceMapStep || top >= map.rows) return std::nullopt;
  // The last kept column lies less than a whole step before column 0.
  const double width = right == 0 ? strip.columns - left * kSourceMapStep : kSourceMapStep;
  const double across = std::clamp((column - left * kSourceMapStep) / width, 0.0, 1.0), down = row - top;
  cv::Vec3d sum(0, 0, 0);
  const cv::Point corners[4] = {{left, top}, {right, top}, {left, bottom}, {right, bottom}};
  const double weights[4] = {(1 - across) * (1 - down), across * (1 - down), (1 - across) * down, across * down};
  for (int i = 0; i < 4; ++i) {
    const auto value = map.at<cv::Vec3w>(corners[i]);
    if (weights[i] > 0 && value[0] == 0) return std::nullopt;
    sum += weights[i] * cv::Vec3d(value[0], value[1], value[2]);
  }
  return SourcePoint{(sum[0] - 1) / kSourceMapUnit, (sum[1] - 1) / kSourceMapUnit, sum[2] / kSourceMapFine};
}

void AddSourceMap(std::size_t pose, const unroll::Strip& strip, Measured& measured) {
  auto& name = measured.reading.poses.at(pose).source_map;
  name = "source_" + std::to_string(pose + 1) + ".png";
  measured.pictures.push_back({name, EncodeSourceMap(strip)});
}

unroll::Strip SightOf(const camera::Lens& lens, const bore::BoreFromCam& pose, const cv::Mat1b& mask,
                      const unroll::StripGrid& grid) {
  auto map = unroll::BuildMap(lens, pose, grid, mask);
  unroll::Strip strip;
  strip.grid = grid;
  strip.source_px = map.source_px;
  strip.resolution_z_mm = map.resolution_z_mm;
  strip.resolution_arc_mm = map.resolution_arc_mm;
  strip.source_frame = cv::Mat1s(map.seen.size(), short{-1});
  strip.source_frame.setTo(0, map.seen);
  return strip;
}

void AddOrigin(const cv::Mat1s& pose_of_cell, Measured& measured) {
  cv::Mat origin;
  pose_of_cell.convertTo(origin, CV_8U, 1, 1);
  measured.reading.strip.origin_file = "strip_origin.png";
  measured.pictures.push_back({measured.reading.strip.origin_file, origin});
}

}  // namespace vision::reading
