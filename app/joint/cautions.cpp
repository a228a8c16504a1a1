#include "app/joint/cautions.h"

#include "app/joint/caution_prints.h"
#include "app/words/print.h"

namespace app::joint {
namespace {

using words::Print;

std::vector<std::string> InEnglish(const std::vector<Print>& cautions) {
  std::vector<std::string> lines;
  for (const Print caution : cautions) lines.emplace_back(words::WordsOf(caution));
  return lines;
}

}  // namespace

// Confined space: limits of oxygen by volume and the order of work, 29 CFR 1910.146 (b) "hazardous atmosphere" (below
// 19.5 % or above 23.5 %), (d)(5) continuous testing; that argon is heavier than air and gathers low is physics (40
// g/mol to 29). Chromium (VI): 29 CFR 1910.1026; wheels kept apart: common practice, no source.
std::vector<Print> StandingCautionPrints() {
  return {Print::kAid,           Print::kAcceptance,       Print::kNotExaminedRoot,
          Print::kConfinedSpace, Print::kDoNotGrindByThis, Print::kSupports};
}

std::vector<Print> GrindingCautionPrints() {
  return {Print::kConfinedSpace, Print::kChromium, Print::kStopNearFloor, Print::kWheel};
}

std::vector<std::string> StandingCautions() { return InEnglish(StandingCautionPrints()); }

std::vector<std::string> GrindingCautions() { return InEnglish(GrindingCautionPrints()); }

std::string ArcCaution() { return std::string(words::WordsOf(Print::kArcBurns)); }

}  // namespace app::joint
