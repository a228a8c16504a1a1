#pragma once

#include <vector>

#include "app/marks/marks.h"
#include "app/viewer/desk.h"
#include "app/viewer/page_view.h"

/// Which meanings a view shows now: the legend says these and no others.
namespace app::viewer {

std::vector<marks::Means> OnPage(const Desk& desk, const Layers& layers, Against against);
std::vector<marks::Means> OnEndView(const Desk& desk);
std::vector<marks::Means> OnSection(const Desk& desk);

}  // namespace app::viewer
