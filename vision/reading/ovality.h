#pragma once

#include <optional>

#include "vision/base/sentence.h"
#include "vision/pose/push.h"

/// An oval bore, as frames solved together show it.
namespace vision::reading {

/// By how much a bore is wider one way than across it, both walls alike.
struct Ovality {
  double difference_mm = 0;  ///< Largest less smallest diameter.
  double u_mm = 0;           ///< Standard uncertainty.
  double widest_deg = 0;     ///< Where the largest diameter lies, in [0, 180).
};

/// From the second harmonic that both walls share; a height h on both sides takes 2 h off a diameter.
/// @param prior_mm What the solution held that harmonic by (PushOptions::oval_prior_mm); it is taken out again.
/// @return Nothing where the frames tell hardly more than that.
std::optional<Ovality> OvalityOf(const pose::WallLevels& levels, double prior_mm = pose::PushOptions().oval_prior_mm);

/// With the expanded uncertainty; that it is round as far as can be told, where it is not told apart.
Sentence SentenceOf(const Ovality& ovality);

}  // namespace vision::reading
