#pragma once

#include <string>
#include <vector>

#include "vision/base/result.h"

/// Comma-separated values, RFC 4180: quotes where needed, lines end with CR LF on writing, LF too on reading.
namespace app::book {

using CsvRow = std::vector<std::string>;

std::string ToCsv(const std::vector<CsvRow>& rows);

/// @param name How the text is called in a message. @return kBadInput for an open quote or rows of different length.
vision::Result<std::vector<CsvRow>> FromCsv(const std::string& text, const std::string& name);

/// With a last column "caution" that says in every row what no list of numbers replaces.
std::vector<CsvRow> WithCaution(std::vector<CsvRow> rows);

/// A number as short as it can be without losing a bit; "" for one that was not measured.
std::string CsvNumber(double value);

}  // namespace app::book
