#pragma once

#include "app/book/csv.h"
#include "app/joint/verdict.h"
#include "app/known/known.h"

/// A reading and a verdict as tables, titles first. Units in the titles, u = standard uncertainty (k = 1); empty = not
/// measured.
namespace app::book {

/// One row a station line: as measured, then what people decided (toes by hand and the widths from them, the state of
/// each edge with what was overruled or seen by a person).
std::vector<CsvRow> ProfileRows(const known::Known& known);

/// Every rule's finding, then every run with the original edge visible, every indication, every toe set by hand and
/// every note: whether it was measured, what a person decided of it and where that is kept.
std::vector<CsvRow> FindingRows(const known::Known& known, const app::joint::Verdict& verdict);

}  // namespace app::book
