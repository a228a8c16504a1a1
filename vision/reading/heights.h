#pragma once

#include <filesystem>

#include "vision/base/result.h"
#include "vision/reading/measure.h"
#include "vision/reading/told.h"
#include "vision/relief/relief.h"
#include "vision/relief/section.h"

/// From a relief to the reading's heights, whichever way the relief was earned; and the relief's own pictures.
namespace vision::reading {

/// Toes told by picture and surface together. Source: chosen; no other.
struct HeightOptions {
  double toe_seen_u_mm = 0.2;      ///< Least of a toe seen in the picture.
  double told_together_mm = 0.35;  ///< A toe known no better is not stated.
  double astray_mm = 0.6;          ///< A toe seen further from where the surface leaves the wall than this.
  double another_line_mm = 0.5;    ///< So far in the middle of the ring: one of the two follows another line.

  [[nodiscard]] Status Check() const;
};

/// How the toes told were seen.
struct ToesSeen {
  /// A wall higher by h shifts a toe by h times this along z, as seen: +-(distance / radius) of the look, the sign of
  /// its direction; 0 when the toes' places do not depend on the wall's height.
  double shift_per_height = 0;
};

/// Toes and width as picture and surface have them together, freed of the walls' step; misalignment, crown and
/// concavity off the relief, each with its reason when absent. As told where no section can be read, with a note.
/// @param relief z = 0 as in `told`.
Told WithRelief(Told told, const relief::Relief& relief, const ToesSeen& seen, std::vector<Sentence>& notes,
                const HeightOptions& o = {});

/// Crown and concavity as sections tell them, whatever earned these (`how`), with their reasons; all else as told.
/// @param sections At even steps round the bore, from 0 degrees; u = standard uncertainty.
Told WithSections(Told told, const std::vector<relief::SectionLine>& sections, relief::How how);

/// relief.png (h_mm = (value - 32768) * 0.001; 0 = not measured) and relief_u.png (u_mm = value * 0.001), described in
/// reading.relief.
void AddReliefPictures(const relief::Relief& relief, Measured& measured);

/// Reads the pictures back. @param folder Where the reading lies.
/// @return kNotFound when the reading has no relief; kBadInput naming the file that is missing or of another size.
Result<relief::Relief> ReadRelief(const Reading& reading, const std::filesystem::path& folder);

/// What is read across the weld off a relief, one a relief column, with the reading's own toes. For showing walls and
/// chord; what is stated stands in the profile. @return kBadInput for a relief that cannot be used.
Result<std::vector<relief::SectionLine>> SectionsOf(const relief::Relief& relief, const Reading& reading,
                                                    const HeightOptions& o = {});

}  // namespace vision::reading
