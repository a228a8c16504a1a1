#include "vision/surface/surface.h"

#include "vision/base/range.h"
#include "vision/bore/stations.h"
#include "vision/surface/ground.h"

namespace vision::surface {

Status SurfaceOptions::Check() const {
  for (const auto& broken : {ground.Check(), pores.Check(), undercut.Check(), concave.Check(), scale.Check()})
    if (broken) return broken;
  return FirstOutside("SurfaceOptions", {{"margin_mm", margin_mm, 0.01, 5},
                                         {"least_core_px", least_core_px, 2, 20},
                                         {"least_contrast", least_contrast, 0.01, 1},
                                         {"over_texture", over_texture, 3, 20},
                                         {"pit_contrast", pit_contrast, 0.01, 1},
                                         {"undercut_contrast", undercut_contrast, 0.01, 2},
                                         {"least_undercut_mm", least_undercut_mm, 2, 100},
                                         {"scale_roughness", scale_roughness, 0.02, 1},
                                         {"over_wall", over_wall, 1.5, 20},
                                         {"least_scale_mm", least_scale_mm, 2, 100},
                                         {"concave_contrast", concave_contrast, 0.01, 2}});
}

Result<Surface> FindSurface(const unroll::Strip& strip, const Bead& bead, const SurfaceOptions& options,
                            const JobContext& job) {
  if (auto broken = options.Check()) return *broken;
  if (bead.left_z_mm.size() != bore::kStationLines || bead.right_z_mm.size() != bore::kStationLines ||
      bead.unfused_left.size() != bore::kStationLines || bead.unfused_right.size() != bore::kStationLines)
    return BadInput("FindSurface: the bead must have 720 half-degree lines.");
  if (strip.resolution_z_mm.size() != strip.image.size() || strip.resolution_arc_mm.size() != strip.image.size())
    return BadInput("FindSurface: the strip must carry its resolution along z and around.");
  const Ground ground = Prepare(strip, bead, options);
  Surface surface;
  if (job.Cancelled()) return Cancelled();
  FindConcaveLook(ground, options, surface);
  FindUndercut(ground, bead, options, surface);
  if (job.Cancelled()) return Cancelled();
  FindScale(ground, bead, options, surface);
  if (job.Cancelled()) return Cancelled();
  FindPores(ground, bead, options, surface);
  return surface;
}

}  // namespace vision::surface
