#pragma once

#include "app/repair/repair_plan.h"
#include "app/report/content.h"

namespace app::report {

/// The pipe's end as seen by the person from whose view the numbers are told (along +z where there are none): bore and
/// outside, the numbers and the way they run, the spot and the band in which to search.
/// @param words Stand beside it in large print, the first largest.
Figure PlaceFigure(const repair::RepairPlan& plan, const std::vector<Text>& words, double width_mm);

}  // namespace app::report
