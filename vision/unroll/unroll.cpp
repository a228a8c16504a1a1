#include "vision/unroll/unroll.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"
#include "vision/unroll/cubic.h"

namespace vision::unroll {
namespace {

/// Picture, marks and frame of one row, while it is in the cache. @param grey One row, for use inside.
void LayRowFlat(const cv::Mat3b& frame, const UnrollMap& map, int row, int frame_index, const UnrollOptions& options,
                cv::Mat1b& grey, Strip& strip) {
  const int cells = map.grid.columns;
  const uchar* seen = map.seen[row];
  CubicRow(frame, map.fixed_xy.ptr<cv::Vec2s>(row), map.fixed_fraction.ptr<ushort>(row), seen, cells, strip.image[row]);
  cv::Mat1b clipped = strip.clipped.row(row);
  cv::cvtColor(strip.image.row(row), grey, cv::COLOR_BGR2GRAY);
  cv::inRange(strip.image.row(row), cv::Scalar::all(options.clipped_level), cv::Scalar::all(255), clipped);
  const uchar *shade = grey[0], *blown = clipped[0];
  uchar* valid = strip.valid[row];
  short* from = strip.source_frame[row];
  const auto dark = static_cast<uchar>(options.dark_level);
  const auto index = static_cast<short>(frame_index);
  for (int i = 0; i < cells; ++i) {
    valid[i] = static_cast<uchar>(seen[i] & ~blown[i] & (shade[i] >= dark ? 255 : 0));
    from[i] = seen[i] ? index : short{-1};
  }
}

}  // namespace

StripGrid StripGrid::Over(double radius_mm, double z_from_mm, double z_to_mm, double pitch_mm) {
  StripGrid grid;
  grid.radius_mm = radius_mm;
  grid.pitch_mm = pitch_mm;
  grid.z_from_mm = z_from_mm;
  grid.rows = static_cast<int>(std::ceil((z_to_mm - z_from_mm) / pitch_mm - 1e-9)) + 1;
  grid.columns = std::max(8, static_cast<int>(std::lround(bore::ArcMm(360, radius_mm) / pitch_mm)));
  return grid;
}

Status UnrollOptions::Check() const {
  if (clipped_level < 128 || clipped_level > 255)
    return BadInput("UnrollOptions::clipped_level is " + std::to_string(clipped_level) + "; it must be 128 to 255.");
  if (dark_level < 0 || dark_level >= 128)
    return BadInput("UnrollOptions::dark_level is " + std::to_string(dark_level) + "; it must be 0 to 127.");
  if (!(max_resolution_mm > 0)) return BadInput("UnrollOptions::max_resolution_mm must be > 0 mm.");
  if (!(max_incidence_deg > 0 && max_incidence_deg <= 90))
    return BadInput("UnrollOptions::max_incidence_deg must be above 0 and at most 90.");
  return std::nullopt;
}

Result<Strip> Unroll(const cv::Mat3b& frame, const UnrollMap& map, int frame_index, const UnrollOptions& options,
                     const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (job.Cancelled()) return Cancelled();
  Strip strip;
  strip.grid = map.grid;
  strip.image.create(map.grid.rows, map.grid.columns);
  strip.valid.create(strip.image.size());
  strip.clipped.create(strip.image.size());
  strip.source_frame.create(strip.image.size());
  cv::parallel_for_(cv::Range(0, map.grid.rows), [&](const cv::Range& range) {
    cv::Mat1b grey(1, map.grid.columns);
    for (int row = range.start; row < range.end; ++row) LayRowFlat(frame, map, row, frame_index, options, grey, strip);
  });
  strip.source_px = map.source_px;
  strip.resolution_z_mm = map.resolution_z_mm;
  strip.resolution_arc_mm = map.resolution_arc_mm;
  return strip;
}

Result<Strip> Merge(const std::vector<Strip>& strips) {
  if (strips.empty()) return BadInput("No strip to merge.");
  Strip merged = strips.front();
  merged.image = merged.image.clone();
  merged.valid = merged.valid.clone();
  merged.clipped = merged.clipped.clone();
  merged.source_px = merged.source_px.clone();
  merged.source_frame = merged.source_frame.clone();
  merged.resolution_z_mm = merged.resolution_z_mm.clone();
  merged.resolution_arc_mm = merged.resolution_arc_mm.clone();
  for (std::size_t i = 1; i < strips.size(); ++i) {
    const Strip& next = strips[i];
    if (next.grid != merged.grid) return BadInput("Strips of different grids cannot be merged.");
    const cv::Mat1b has_none(cv::Mat((merged.valid == 0) & (merged.clipped == 0)));
    cv::Mat1b better(
        cv::Mat((next.valid != 0) & ((merged.valid == 0) | (next.resolution_z_mm < merged.resolution_z_mm))));
    better |= (next.clipped != 0) & has_none;
    next.image.copyTo(merged.image, better);
    next.valid.copyTo(merged.valid, better);
    next.clipped.copyTo(merged.clipped, better);
    next.source_px.copyTo(merged.source_px, better);
    next.source_frame.copyTo(merged.source_frame, better);
    next.resolution_z_mm.copyTo(merged.resolution_z_mm, better);
    next.resolution_arc_mm.copyTo(merged.resolution_arc_mm, better);
  }
  return merged;
}

}  // namespace vision::unroll
