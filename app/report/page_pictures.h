#pragma once

#include <QImage>
#include <vector>

#include "app/report/report.h"

namespace app::report {

/// The pages as WriteReport sets them, as pictures: to be looked at before anything is written.
/// @param dots_per_mm In [1, 20]. @return As WriteReport, but for what has to do with the folder.
vision::Result<std::vector<QImage>> PagesOf(const ReportInput& input, const ReportOptions& options = {},
                                            double dots_per_mm = 5, const vision::JobContext& job = {});

}  // namespace app::report
