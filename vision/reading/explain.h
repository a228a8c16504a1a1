#pragma once

#include <string>
#include <vector>

#include "vision/reading/reading.h"

/// Why numbers are absent, put together from station lines to arcs.
namespace vision::reading {

/// Two decimals, for a reason.
std::string Rounded(double value);

/// One Why for each run of true.
void Explain(const std::string& what, const std::vector<bool>& absent, const Reason& reason, Reading& reading);

/// Lines of one reason together.
/// @param reasons One per station line; empty = nothing is absent there.
void Explain(const std::string& what, const std::vector<Reason>& reasons, Reading& reading);

}  // namespace vision::reading
