#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/joint/joint.h"
#include "app/repair/film_station.h"

namespace app::viewer {

/// A number of the belt on the pipe's outside, or a place between two.
struct Station {
  double theta_deg = 0;  ///< In [0, 360).
  int number = 0;        ///< The number there, or the one before.
  double beyond_mm = 0;  ///< Along the outside from that number towards the next; 0 at the number itself.
};

/// Repair files beside the joint file, of any joint, in the order of their names.
std::vector<std::filesystem::path> RepairFiles(const joint::Joint& joint);

/// The belt that a repair file beside the joint file tells of.
/// @param remarks Hears a sentence where files beside the joint contradict each other.
std::optional<repair::Belt> FindBelt(const joint::Joint& joint, std::vector<std::string>& remarks);

/// Every number of the belt, and places between them every `step_mm` (0 = none), in belt order.
std::vector<Station> StationsOf(const repair::Belt& belt, double step_mm = 0);

/// The place on the belt over a theta.
Station StationAt(const repair::Belt& belt, double theta_deg);

}  // namespace app::viewer
