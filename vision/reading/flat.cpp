#include "vision/reading/flat.h"

#include <opencv2/imgproc.hpp>

#include "vision/reading/source_map.h"
#include "vision/unroll/origin.h"

namespace vision::reading {

Result<Flat> LayFlat(std::vector<Look>& looks) {
  Flat flat;
  for (std::size_t i = 0; i < looks.size(); ++i) {
    looks[i].strip.source_frame.setTo(static_cast<short>(i), looks[i].strip.source_frame >= 0);
    flat.strips.push_back(looks[i].to_first ? match::Shifted(looks[i].strip, *looks[i].to_first) : looks[i].strip);
  }
  auto merged = unroll::Merge(flat.strips);
  if (!merged.ok()) return merged.error();
  flat.merged = std::move(merged).value();
  flat.first_grid = flat.merged.grid;
  return flat;
}

void PutInJoint(const Told& told, const std::vector<Look>& looks, Flat& flat, LightLook* light) {
  const unroll::Origin joint(-JointFromLook(looks.front(), told));
  for (auto& strip : flat.strips) joint.Move(strip.grid);
  joint.Move(flat.merged.grid);
  if (light) unroll::Origin(-JointFromLook(light->look, told)).Move(light->section.relief.grid);
}

Unresolved TakeOutUnresolved(const std::vector<Look>& looks, double bead_half_mm, unroll::Strip& merged,
                             Reading& reading) {
  std::vector<resolve::Sharpness> sharpness;
  for (const Look& look : looks) sharpness.push_back(look.sharpness);
  const resolve::ResolveOptions resolving;
  const cv::Mat1f smallest_mm = resolve::SmallestLineMm(merged, sharpness, resolving);
  Unresolved unresolved = UnresolvedIn(merged.grid, smallest_mm, resolving);
  merged.valid.setTo(0, unresolved.fails);
  reading.strip.smallest_line_mm = MedianAtBead(merged.grid, smallest_mm, bead_half_mm, 8);
  return unresolved;
}

void KeepSources(const std::vector<Look>& looks, const Flat& flat, const std::optional<LightLook>& light,
                 Measured& measured) {
  const auto& [strips, merged, first_grid] = flat;
  const std::size_t stills = light ? looks.size() - 1 : looks.size();
  for (std::size_t i = 0; i < stills; ++i) AddSourceMap(i, strips[i], measured);
  cv::Mat1s origin = merged.source_frame.clone();
  if (light) {
    for (std::size_t i = 0; i < light->poses.size(); ++i) {
      auto sight = SightOf(light->settings[i].lens, light->section.poses[i], light->settings[i].mask, first_grid);
      if (looks.back().to_first) sight = match::Shifted(sight, *looks.back().to_first);
      AddSourceMap(stills + i, sight, measured);
    }
    const cv::Rect picture({0, 0}, light->shown_by.size());
    for (auto cell = origin.begin(); cell != origin.end(); ++cell) {
      if (*cell != static_cast<short>(stills)) continue;
      const auto px = merged.source_px(cell.pos());
      const cv::Point at(cvRound(px[0]), cvRound(px[1]));
      *cell =
          static_cast<short>(*cell + (picture.contains(at) ? light->shown_by(at) : static_cast<int>(light->chosen)));
    }
  }
  AddOrigin(origin, measured);
}

}  // namespace vision::reading
