#pragma once

#include <string>

#include "app/known/known.h"

namespace app::known {

/// What people wrote on a joint and where that is kept.
struct Told {
  notes::Notes notes;
  Recorded recorded;
  std::string remark;  ///< One sentence for the person, empty when all is as usual.
};

/// The notes beside the joint file, as the window has them: changes that were not saved count, and are said so.
/// @return kBadInput when the saved file cannot be read or is of another joint.
vision::Result<Told> NotesBeside(const joint::Joint& joint);

}  // namespace app::known
