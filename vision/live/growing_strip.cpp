#include "vision/live/growing_strip.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "vision/bore/angle.h"
#include "vision/camera/projector.h"
#include "vision/live/lay_flat.h"

namespace vision::live {
namespace {

constexpr float kNaN = std::numeric_limits<float>::quiet_NaN();

/// Pixels of the corners of the blocks in rows [first, last].
class Corners {
 public:
  Corners(const camera::Lens& lens, const bore::BoreFromCam& pose, const unroll::StripGrid& grid, int first, int last)
      : first_(first), pixels_(last - first + 2, grid.columns / kBlock + 1) {
    const int columns = pixels_.cols - 1;
    const camera::Projector projector(lens);
    for (int j = 0; j < columns; ++j) {
      const double theta = grid.ThetaDeg(j * kBlock) * bore::kRadPerDeg;
      const double x = -grid.radius_mm * std::sin(theta), y = grid.radius_mm * std::cos(theta);
      for (int i = 0; i < pixels_.rows; ++i) {
        const Eigen::Vector3d wall(x, y, grid.ZMm((first + i) * kBlock));
        const auto pixel = projector.Project(pose.CamFromBore(wall));
        pixels_(i, j) =
            pixel ? cv::Vec2f(static_cast<float>(pixel->x()), static_cast<float>(pixel->y())) : cv::Vec2f(kNaN, kNaN);
      }
    }
    for (int i = 0; i < pixels_.rows; ++i) pixels_(i, columns) = pixels_(i, 0);
  }

  /// Top left, top right, bottom left, bottom right.
  std::array<cv::Vec2f, 4> Of(int block_row, int block_column) const {
    const int i = block_row - first_;
    return {pixels_(i, block_column), pixels_(i, block_column + 1), pixels_(i + 1, block_column),
            pixels_(i + 1, block_column + 1)};
  }

 private:
  int first_;
  cv::Mat2f pixels_;
};

bool InPicture(const std::array<cv::Vec2f, 4>& corners, const cv::Mat3b& frame, const cv::Mat1b& mask, double border) {
  const auto b = static_cast<float>(border);
  for (const auto& p : corners) {
    if (!(p[0] >= b && p[1] >= b && p[0] < static_cast<float>(frame.cols) - b &&
          p[1] < static_cast<float>(frame.rows) - b))
      return false;
    if (!mask.empty() && mask(cvRound(p[1]), cvRound(p[0])) != 0) return false;
  }
  return true;
}

/// mm of wall per pixel, the coarser of along and around. @param side_mm Of the block.
float ResolutionOf(const std::array<cv::Vec2f, 4>& c, double side_mm) {
  const double along = std::min(cv::norm(c[2] - c[0]), cv::norm(c[3] - c[1])),
               around = std::min(cv::norm(c[1] - c[0]), cv::norm(c[3] - c[2]));
  return static_cast<float>(side_mm / std::max(1e-3, std::min(along, around)));
}

}  // namespace

Status GrowingOptions::Check() const {
  if (!(pitch_share >= 0.0005 && pitch_share <= 0.05))
    return BadInput("GrowingOptions::pitch_share must be 0.0005 to 0.05.");
  if (!(nearest_share > 0 && nearest_share < farthest_share))
    return BadInput("GrowingOptions::nearest_share must be above 0 and below farthest_share.");
  if (!(reach_share > 0)) return BadInput("GrowingOptions::reach_share must be above 0.");
  if (!(better > 0 && better <= 1)) return BadInput("GrowingOptions::better must be above 0 and at most 1.");
  if (!(stale_s > 0)) return BadInput("GrowingOptions::stale_s must be above 0 s.");
  if (!(coverage_mm > 0)) return BadInput("GrowingOptions::coverage_mm must be above 0 mm.");
  if (!(fine_enough_mm > 0)) return BadInput("GrowingOptions::fine_enough_mm must be above 0 mm.");
  if (!(border_px >= 3)) return BadInput("GrowingOptions::border_px must be 3 or more.");
  return std::nullopt;
}

GrowingStrip::GrowingStrip(double radius_mm, const GrowingOptions& options) : options_(options) {
  const double pitch_mm = options.pitch_share * radius_mm;
  grid_ = unroll::StripGrid::Over(radius_mm, 0, 0, pitch_mm);
  grid_.columns = std::max(2, static_cast<int>(std::lround(1.0 * grid_.columns / kBlock))) * kBlock;
  grid_.pitch_mm = bore::ArcMm(grid_.theta_pitch_deg(), radius_mm);
  grid_.rows = 0;
}

void GrowingStrip::GrowTo(double z_from_mm, double z_to_mm) {
  const double side = grid_.pitch_mm * kBlock, limit = options_.reach_share * grid_.radius_mm;
  int first = static_cast<int>(std::floor(std::max(z_from_mm, -limit) / side)),
      last = static_cast<int>(std::ceil(std::min(z_to_mm, limit) / side));
  if (grid_.rows > 0) {
    const int held = static_cast<int>(std::lround(grid_.z_from_mm / side));
    first = std::min(first, held), last = std::max(last, held + grid_.rows / kBlock);
    if (first == held && last == held + grid_.rows / kBlock) return;
    const int above = held - first, below = last - held - grid_.rows / kBlock;
    cv::copyMakeBorder(image_, image_, above * kBlock, below * kBlock, 0, 0, cv::BORDER_CONSTANT, cv::Scalar::all(0));
    cv::copyMakeBorder(finest_, finest_, above, below, 0, 0, cv::BORDER_CONSTANT, cv::Scalar::all(0));
    cv::copyMakeBorder(taken_s_, taken_s_, above, below, 0, 0, cv::BORDER_CONSTANT, cv::Scalar::all(0));
  } else if (last > first) {
    image_ = cv::Mat3b((last - first) * kBlock, grid_.columns, cv::Vec3b(0, 0, 0));
    finest_ = cv::Mat1f(last - first, grid_.columns / kBlock, 0.0F);
    taken_s_ = cv::Mat1d(last - first, grid_.columns / kBlock, 0.0);
  }
  grid_.z_from_mm = first * side;
  grid_.rows = image_.rows;
}

bool GrowingStrip::Wanted(int block_row, int block_column, float resolution_mm, double time_s) const {
  const float held = finest_(block_row, block_column);
  if (held == 0 || resolution_mm < options_.better * held) return true;
  // Not all in one frame: each block's own share of the wait.
  const double wait_s = options_.stale_s * (0.5 + ((block_row * 37 + block_column * 11) % 64) / 64.0);
  return resolution_mm <= 1.03F * held && time_s - taken_s_(block_row, block_column) >= wait_s;
}

int GrowingStrip::Add(const cv::Mat3b& frame, const pose::FrameSetting& setting, const bore::BoreFromCam& pose,
                      double time_s) {
  const double sign = pose.rotation(2, 2) < 0 ? -1 : 1, side = grid_.pitch_mm * kBlock;
  const double a = pose.translation_mm.z() + sign * options_.nearest_share * grid_.radius_mm,
               b = pose.translation_mm.z() + sign * options_.farthest_share * grid_.radius_mm;
  GrowTo(std::min(a, b), std::max(a, b));
  if (grid_.rows == 0) return 0;
  const int first = std::clamp(static_cast<int>(grid_.Row(std::min(a, b))) / kBlock, 0, finest_.rows - 1),
            last = std::clamp(static_cast<int>(grid_.Row(std::max(a, b))) / kBlock, first, finest_.rows - 1);
  const Corners corners(setting.lens, pose, grid_, first, last);
  int laid = 0;
  for (int i = first; i <= last; ++i)
    for (int j = 0; j < finest_.cols; ++j) {
      const auto c = corners.Of(i, j);
      if (!InPicture(c, frame, setting.mask, options_.border_px)) continue;
      const float resolution = ResolutionOf(c, side);
      if (!Wanted(i, j, resolution, time_s)) continue;
      LayFlat(frame, c, image_, i * kBlock, j * kBlock);
      finest_(i, j) = resolution;
      taken_s_(i, j) = time_s;
      laid += kBlock * kBlock;
    }
  return laid;
}

std::vector<double> GrowingStrip::Coverage(int parts) const {
  std::vector<double> seen(static_cast<std::size_t>(parts)), all(seen.size());
  const double side = grid_.pitch_mm * kBlock;
  const int from = static_cast<int>(std::floor(-options_.coverage_mm / side)),
            to = static_cast<int>(std::ceil(options_.coverage_mm / side));
  const int top = grid_.rows > 0 ? static_cast<int>(std::lround(grid_.z_from_mm / side)) : 0;
  for (int i = from; i < to; ++i)
    for (int j = 0; j < grid_.columns / kBlock; ++j) {
      const auto part = static_cast<std::size_t>(j * parts / (grid_.columns / kBlock));
      all[part] += 1;
      const int row = i - top;
      if (grid_.rows == 0 || row < 0 || row >= finest_.rows) continue;
      const float held = finest_(row, j);
      if (held > 0 && held <= options_.fine_enough_mm) seen[part] += 1;
    }
  for (std::size_t k = 0; k < seen.size(); ++k) seen[k] = all[k] > 0 ? seen[k] / all[k] : 0;
  return seen;
}

unroll::Strip GrowingStrip::Zone(double half_mm) const {
  unroll::Strip zone;
  const int top = static_cast<int>(std::floor(grid_.Row(-half_mm))),
            bottom = static_cast<int>(std::ceil(grid_.Row(half_mm)));
  if (grid_.rows == 0 || top < 0 || bottom >= grid_.rows) return zone;
  zone.grid = grid_;
  zone.grid.z_from_mm = grid_.ZMm(top);
  zone.grid.rows = bottom - top + 1;
  zone.image = image_.rowRange(top, bottom + 1);
  zone.valid = cv::Mat1b(zone.image.size());
  for (int row = 0; row < zone.grid.rows; ++row)
    for (int j = 0; j < finest_.cols; ++j)
      std::fill_n(zone.valid[row] + j * kBlock, kBlock,
                  static_cast<uchar>(finest_((top + row) / kBlock, j) > 0 ? 255 : 0));
  zone.clipped = cv::Mat1b(zone.image.size(), uchar{0});
  return zone;
}

}  // namespace vision::live
