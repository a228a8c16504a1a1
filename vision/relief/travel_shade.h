#pragma once

#include <Eigen/Core>
#include <vector>

#include "vision/bore/bore.h"
#include "vision/relief/travel_options.h"

/// Light from a ring of lamps to a place on metal and on into the lens.
namespace vision::relief {

/// A frame's lens and lamps where they stand. Frames of this room look along +z: one that looks the other way is
/// mirrored (z to -z), which changes no distance and no angle.
struct Stand {
  Eigen::Vector3d eye = Eigen::Vector3d::Zero();
  std::vector<Eigen::Vector3d> lamps, axes;
};

/// @param along +1 or -1: the way the camera looks.
Stand StandOf(const bore::BoreFromCam& pose, const LampRing& ring, double spin, double along);

/// How much of each lamp's power goes towards a place.
std::vector<double> LobesAt(const Eigen::Vector3d& at, const Stand& stand, double spread);

/// Light towards the eye per unit of albedo, any scale.
/// @param lobes One a lamp, as LobesAt says; they change little over a few mm.
/// @param ambient Light that comes round by the walls, falling with the square of the distance.
double ShadeWith(const Eigen::Vector3d& at, const Eigen::Vector3d& normal, const Stand& stand, const Gloss& gloss,
                 const double* lobes, double ambient);
double ShadeAt(const Eigen::Vector3d& at, const Eigen::Vector3d& normal, const Stand& stand, const Gloss& gloss,
               double spread, double ambient);

}  // namespace vision::relief
