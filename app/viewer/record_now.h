#pragma once

#include "app/report/report.h"
#include "app/viewer/desk.h"

namespace app::viewer {

/// What a report of the open joint is made from: what was measured, what people wrote, judged by the criterion chosen
/// in the window. Something must be open.
report::ReportInput RecordNow(const Desk& desk);

}  // namespace app::viewer
