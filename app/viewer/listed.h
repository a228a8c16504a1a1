#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/known/known.h"
#include "vision/arc/course.h"
#include "vision/reading/reading.h"

namespace app::viewer {

/// Something a person should look at, with its place. Marked places come first, and where welding
/// stopped, since fusion fails there first (common practice, no source); then edges still visible, indications, other
/// notes, and arcs that were not examined.
struct Listed {
  enum class Sort { kMarkedPlace, kStop, kUnfused, kIndication, kNote, kHandToe, kFlag, kNotExamined };
  Sort sort = Sort::kNote;
  double start_deg = 0, end_deg = 0, z_mm = 0;
  std::string side;   ///< left | right | empty
  std::string about;  ///< Fingerprint of a measured thing; empty otherwise.
  int note_id = 0;    ///< 0 = none.
  int index = 0;      ///< In its list (stops, known runs and found, toes, flags).
  std::optional<known::Decision> decided = {};
  bool overruled() const { return decided && decided->what == known::Decision::What::kOverruled; }
};

/// @param known What a person overruled stays in the list, marked so.
/// @param stops Of welding, where it was recorded.
std::vector<Listed> ListedIn(const known::Known& known, const std::vector<vision::arc::Stop>& stops = {});

}  // namespace app::viewer
