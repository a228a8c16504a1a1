#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "app/book/find.h"
#include "app/viewer/opened.h"

namespace app::viewer {

/// One cycle of one joint of a joint book.
struct BookEntry {
  std::string address;  ///< A SQLite file or postgresql://...
  std::string joint;
  std::string cycle;  ///< R0, R1, ...; empty: the newest that has a reading.
};

/// The joints of a book, by id; the book is only read.
/// @param part Any part of the id; empty: all.
vision::Result<std::vector<book::JointLine>> JointsOf(const std::string& address, const std::string& part);

/// Lays the newest reading of the cycle out in a folder of its own below `root`, which stays: what is written there
/// beside it is found again. Evidence is linked, never copied or changed; every file's hash is looked at.
/// @return kNotFound where the cycle has no reading; kBadInput where a file is no longer what was recorded.
vision::Result<Request> LayOut(const BookEntry& entry, const std::filesystem::path& root);

}  // namespace app::viewer
