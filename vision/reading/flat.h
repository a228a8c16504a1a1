#pragma once

#include <optional>
#include <vector>

#include "vision/reading/light_look.h"
#include "vision/reading/look.h"
#include "vision/reading/resolving.h"

/// The looks' strips laid on each other: the flat picture that goes with the reading.
namespace vision::reading {

/// The looks' strips on the first one's, and all of them in one.
struct Flat {
  std::vector<unroll::Strip> strips;
  unroll::Strip merged;
};

Result<Flat> LayFlat(std::vector<Look>& looks);

/// Takes what the recording could not show out of the strip's mask. Fills reading.strip.smallest_line_mm.
Unresolved TakeOutUnresolved(const std::vector<Look>& looks, unroll::Strip& merged, Reading& reading);

/// Median source-pixel size across the bead along z, mm; NaN where nothing is seen.
double ResolutionAtBead(const unroll::Strip& strip);

/// Where each frame sees the flat picture, and which frame each of its cells was taken from. The light's look is the
/// last one and has a pose for every frame of its sweep.
void KeepSources(const std::vector<Look>& looks, const Flat& flat, const std::optional<LightLook>& light,
                 Measured& measured);

}  // namespace vision::reading
