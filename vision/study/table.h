#pragma once

#include <string>
#include <vector>

#include "vision/base/result.h"

namespace vision::study {

/// A comma-separated table with a line of column names first; a field may be quoted ("").
struct Table {
  std::string name;  ///< How the file is called in a message.
  std::vector<std::string> columns;
  std::vector<std::vector<std::string>> rows;  ///< Every row as long as `columns`.

  bool Has(const std::string& column) const;
};

/// @param name How the file is called in a message. Empty lines and lines that begin with # are passed over.
/// @return kBadInput naming the line whose number of fields differs from the heading's, or that there is no row.
Result<Table> ReadTable(const std::string& text, const std::string& name);

/// One column as text. @return kBadInput naming the columns there are.
Result<std::vector<std::string>> TextColumn(const Table& table, const std::string& column);

/// One column as finite numbers. @return kBadInput naming the column and the row that is none.
Result<std::vector<double>> NumberColumn(const Table& table, const std::string& column);

}  // namespace vision::study
