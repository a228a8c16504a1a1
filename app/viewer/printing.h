#pragma once

#include <QImage>
#include <vector>

#include "vision/base/result.h"

class QPrinter;
class QWidget;

namespace app::viewer {

constexpr double kPrintedDotsPerMm = 12;  ///< Some 300 dots an inch: as fine as an office printer shows.

/// Asks for the printer and how it is to print. @return false where the person thought better of it.
bool AskForPrinter(QPrinter& printer, QWidget* parent);

/// Pages or pictures onto a printer, one a sheet, true to size, in the middle; smaller where the sheet is.
/// @return kIo where the printer takes nothing.
vision::Status Print(const std::vector<QImage>& pages, double dots_per_mm, QPrinter& printer);

}  // namespace app::viewer
