#pragma once

#include "app/joint/caution_prints.h"
#include "app/report/content.h"
#include "app/words/print.h"

namespace app::report {

/// The standing cautions, on every record.
inline void AddStandingCautions(Content& content, Paragraph::Weight weight) {
  for (const words::Print caution : joint::StandingCautionPrints())
    content.blocks.push_back(Paragraph{{words::Print::kListed, {caution}}, weight});
}

}  // namespace app::report
