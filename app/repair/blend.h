#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/repair/remaining_wall.h"
#include "vision/base/result.h"

/// The plan of a blend: the pocket ground from inside, whether the equipment can do it, and what it takes away.
namespace app::repair {

/// What a grinder can do; data, not code (`rootscroll.equipment/1`).
struct Equipment {
  std::string name;
  bool invented_sample = false;  ///< The shipped one is, and every output says so.
  double bore_from_mm = 0, bore_to_mm = 0;
  double reach_mm = 0;  ///< Along the pipe from the open end.
  int elbows_passed = 0;
  double largest_sweep_deg = 0;  ///< Included angle of one placement; in (0, 360].
};

/// Reads and checks an equipment file. @param name How it is called in a message.
vision::Result<Equipment> ReadEquipment(const std::string& text, const std::string& name);

/// The shipped sample, marked as invented.
Equipment SampleEquipment();

struct Pocket {
  double theta_deg = 0, z_mm = 0;  ///< Middle of the pocket.
  Measured depth;                  ///< Below the base metal's surface at the bottom.
  double flat_axial_mm = 0;        ///< Flat bottom along z; >= 0.
  double flat_around_mm = 0;       ///< Flat bottom along the circumference, on the bore; >= 0.
  double taper = 0;                ///< n of n:1, from the user's procedure; > 0. No default: none is a code value.
  double corner_radius_mm = 0;     ///< Between bottom and slope; >= 0.

  double footprint_axial_mm() const { return flat_axial_mm + 2 * taper * depth.value_mm; }
  double footprint_around_mm() const { return flat_around_mm + 2 * taper * depth.value_mm; }
  double slope_deg() const;

  [[nodiscard]] vision::Status Check() const;
};

/// What lies around: how much room the pocket has.
struct Surroundings {
  double bore_radius_mm = 0;
  std::optional<double> room_axial_mm;  ///< Free length of bore along z for the footprint (counterbore, fitting).
  double distance_to_open_end_mm = 0;   ///< From the open end to the weld.
  int elbows = 0;                       ///< Between the open end and the weld.
};

/// One placement of the grinder: it sweeps this arc without being moved.
struct Placement {
  double start_deg = 0, sweep_deg = 0;
};

struct BlendPlan {
  double footprint_axial_mm = 0, footprint_around_mm = 0, sweep_deg = 0, slope_deg = 0;
  double volume_mm3 = 0;  ///< To be removed.
  double area_mm2 = 0;    ///< Ground surface, slopes included.
  std::vector<Placement> placements;
  bool equipment_fits = false;
  std::vector<words::Text> why_not;      ///< Sentences: what the equipment cannot do.
  std::vector<words::Text> hold_points;  ///< In order of the work.
};

/// @return kBadInput for a pocket that cannot exist: taper that does not fit the room, footprint longer than the bore's
/// circumference.
vision::Result<BlendPlan> PlanBlend(const Pocket& pocket, const Surroundings& around, const Equipment& equipment);

/// For fixtures whose stones swing out to a fixed radius from the bore's axis: the largest radius that still keeps the
/// floor: R + (wall - floor) - k u, u of bore, wall and centring together. Never below R: then nothing may be ground.
/// @return nullopt when even the bore itself is beyond it.
std::optional<double> LargestStoneRadius(const Measured& bore_radius, const Measured& wall, double floor_mm,
                                         double centring_u_mm);

}  // namespace app::repair
