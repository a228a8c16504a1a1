#pragma once

#include <string>
#include <vector>

namespace app::joint {

/// Stands wherever a verdict, a blend plan, a record or a list of verdicts stands.
inline constexpr const char* kSupports =
    "It supports and never replaces the qualified examiner, the contract's code edition and local rules.";

/// The standing cautions that accompany every verdict and report, one sentence or two each; the last is kSupports.
std::vector<std::string> StandingCautions();

/// For whoever is about to grind.
std::vector<std::string> GrindingCautions();

/// For whoever watches a camera while an arc may burn.
std::string ArcCaution();

}  // namespace app::joint
