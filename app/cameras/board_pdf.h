#pragma once

#include <filesystem>
#include <string>

#include "vision/base/result.h"

/// Cameras that joints share: the board to calibrate them with, and the library that keeps them.
namespace app::cameras {

/// A chessboard to print. Sizes are those on paper.
struct BoardSheet {
  int columns = 9, rows = 6;  ///< Inner corners, in [3, 40]; unequal, so that the board's up can be told.
  double square_mm = 10;      ///< Side of a square, in [2, 200].
  std::string page = "A4";    ///< A4, A3, A2, A1, A0 or Letter; lies across where the board is wider than high.

  /// First broken constraint; a board that does not fit names the page that it needs.
  [[nodiscard]] vision::Status Check() const;
};

/// Writes the board as a PDF true to size, with a bar of 100 mm at its foot by which the print is checked.
/// Needs a QGuiApplication. @return kBadInput from Check or for a name that does not end in .pdf; kIo.
vision::Status WriteBoard(const std::filesystem::path& file, const BoardSheet& board);

}  // namespace app::cameras
