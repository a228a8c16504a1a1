#pragma once

#include <utility>

#include "app/notes/notes.h"

namespace app::notes {

/// First and last theta of a shape, degrees, clockwise, whichever way it was drawn; the first may be below 0 and the
/// last above 360. The note must have a point.
std::pair<double, double> SpanOf(const Note& note);

}  // namespace app::notes
