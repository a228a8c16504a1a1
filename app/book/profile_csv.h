#pragma once

#include "app/book/csv.h"
#include "app/joint/verdict.h"
#include "vision/reading/reading.h"

/// A reading and a verdict as tables, titles first. Units in the titles, u = standard uncertainty (k = 1); empty = not
/// measured.
namespace app::book {

/// One row a station line.
std::vector<CsvRow> ProfileRows(const vision::reading::Reading& reading);

/// Every rule's finding, then every run with the original edge visible, then every indication.
std::vector<CsvRow> FindingRows(const vision::reading::Reading& reading, const app::joint::Verdict& verdict);

}  // namespace app::book
