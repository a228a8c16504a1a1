#pragma once

#include "app/report/content.h"
#include "app/report/stamp.h"

namespace app::report {

/// Puts a company's wording in place of the fixed words of the record: headings, titles of columns, names of facts, and
/// sentences that stand by themselves. What was measured and why is never reworded.
void Reword(const HousePaper& paper, Content& content);

}  // namespace app::report
