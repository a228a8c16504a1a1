#pragma once

#include <QImage>
#include <vector>

#include "app/report/report.h"

namespace app::report {

/// The pictures that a reading names, loaded from its folder.
struct Pictures {
  QImage strip, seen;                     ///< Null where the reading names none.
  std::vector<QImage> runs, indications;  ///< As long as the reading's lists; null where none is named.
};

/// @return kBadInput naming the field when a named picture leaves the folder, is missing or is not an image.
vision::Result<Pictures> LoadPictures(const ReportInput& input);

}  // namespace app::report
