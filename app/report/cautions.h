#pragma once

#include <QString>
#include <vector>

namespace app::report {

/// Stands wherever a verdict stands.
inline const QString kSupports =
    "This record supports and never replaces the qualified examiner, the contract's code edition and local rules.";

/// The standing cautions, on every record. Common practice; the oxygen figure is 29 CFR 1910.146 (oxygen-deficient
/// atmosphere: below 19.5 % by volume).
inline std::vector<QString> StandingCautions() {
  return {
      "Aid to examination. Measurements are indicative unless a valid calibration and a passing gauge study are "
      "attached.",
      "Acceptance is the decision of the certified examiner under the code edition and contract named above.",
      "A root not shown, not in focus or not lit is NOT EXAMINED, not acceptable.",
      "Do not enter or put your head into purged pipe: test for ≥ 19.5 % O2 first.",
      "Do not grind on this record until the wall is measured (ultrasonic thickness) and the repair is authorised.",
      kSupports,
  };
}

}  // namespace app::report
