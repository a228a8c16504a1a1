#pragma once

#include <optional>
#include <string>
#include <vector>

#include "vision/reading/reading.h"
#include "vision/relief/cut.h"
#include "vision/relief/section.h"

namespace app::viewer {

/// Heights of a measured folder, as the section across the bead is drawn from them.
struct Heights {
  vision::relief::Relief relief;
  std::vector<vision::relief::SectionLine> lines;  ///< One a column of the relief.
};

/// The section at one place round the bore; lengths in mm, h = R - r, NaN = not known. Nothing here is worked out that
/// the reading does not state: the surface is the relief's, crown and concavity are the profile's.
struct Section {
  double toe_left_z = vision::reading::kNotMeasured, toe_right_z = vision::reading::kNotMeasured;
  double wall_left_h = vision::reading::kNotMeasured, wall_right_h = vision::reading::kNotMeasured;
  std::vector<vision::relief::CutStretch> surface;  ///< Empty: `why` says why.
  double crown = vision::reading::kNotMeasured, crown_u = vision::reading::kNotMeasured;
  double concavity = vision::reading::kNotMeasured, concavity_u = vision::reading::kNotMeasured;
  vision::Reason why;           ///< Why there is no surface here.
  vision::Reason why_no_crown;  ///< Why crown height is not stated here; empty when it is.

  /// Toe to toe, each on its own wall's level: crown and concavity are over and under it.
  bool has_chord() const;
};

/// @param heights Of the same folder; none where its recordings tell no heights.
Section SectionAt(const vision::reading::Reading& reading, const std::optional<Heights>& heights, double theta_deg);

/// The reason the reading gives for an absent number at a place; empty when it gives none.
vision::Reason ReasonAt(const vision::reading::Reading& reading, const std::string& what, double theta_deg);

}  // namespace app::viewer
