#pragma once

#include <optional>
#include <vector>

#include "vision/reading/light_look.h"
#include "vision/reading/look.h"
#include "vision/reading/resolving.h"
#include "vision/reading/told.h"

/// The looks' strips laid on each other: the flat picture that goes with the reading.
namespace vision::reading {

/// The looks' strips on the first one's, and all of them in one.
struct Flat {
  std::vector<unroll::Strip> strips;
  unroll::Strip merged;
  unroll::StripGrid first_grid;  ///< Of all of them, in the first look's z.
};

Result<Flat> LayFlat(std::vector<Look>& looks);

/// From the looks' z to the joint's: strips by the first look's, the relief by its own look's. The one place where what
/// is drawn gets the origin of what is stated.
void PutInJoint(const Told& told, const std::vector<Look>& looks, Flat& flat, LightLook* light);

/// Takes what the recording could not show out of the strip's mask. Fills reading.strip.smallest_line_mm.
Unresolved TakeOutUnresolved(const std::vector<Look>& looks, double bead_half_mm, unroll::Strip& merged,
                             Reading& reading);

/// Where each frame sees the flat picture, and which frame each of its cells was taken from. The light's look is the
/// last one and has a pose for every frame of its sweep.
void KeepSources(const std::vector<Look>& looks, const Flat& flat, const std::optional<LightLook>& light,
                 Measured& measured);

}  // namespace vision::reading
