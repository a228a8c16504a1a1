#pragma once

#include <string>

#include "app/report/content.h"
#include "vision/base/result.h"

namespace app::report {

struct Pdf {
  std::string bytes;
  int pages = 0;
};

/// Sets the content on pages with the joint's id and "page x of y" on each; fonts embedded.
vision::Result<Pdf> ToPdf(const Content& content, const PageMeasures& measures, const Wording& wording);

/// The same pages as pictures, white behind them.
std::vector<QImage> ToPictures(const Content& content, const PageMeasures& measures, const Wording& wording,
                               double dots_per_mm);

/// Pages that what stands before the first page break takes; 0 where there is none.
int PagesBeforeBreak(const Content& content, const PageMeasures& measures, const Wording& wording);

}  // namespace app::report
