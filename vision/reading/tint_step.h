#pragma once

#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/reading/look.h"
#include "vision/reading/reading.h"

namespace vision::reading {

/// Runs of heat tint that are told. Source: chosen; no other.
struct TintRunOptions {
  double least_run_deg = 2;   ///< A shorter run of one shade is not told.
  double least_flag_deg = 5;  ///< A shorter hot run is no place to look at.
  double bridge_deg = 10;     ///< Gaps in a hot run that do not part it.

  [[nodiscard]] Status Check() const;
};

/// Heat tint beside the toes of the merged strip, against the white targets of its recordings: `reading.tint`, a flag
/// for each arc hotter than straw, and why the rest is not assessed. A target that cannot serve is a note.
/// @return kBadInput when a white target's file cannot be read.
Status AssessColour(const MeasureInput& input, const std::vector<Look>& looks, const unroll::Strip& strip,
                    Reading& reading, const JobContext& job, const TintRunOptions& o = {});

}  // namespace vision::reading
