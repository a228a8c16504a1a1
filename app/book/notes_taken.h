#pragma once

#include <filesystem>
#include <string>

#include "app/book/book.h"

namespace app::book {

/// Puts the window's notes (rootscroll.notes/1) into a cycle of `record`; where it has a reading, that is judged anew
/// with them and the findings follow.
/// @return kBadInput for notes of another joint; kNotFound where there is no such cycle.
vision::Status TakeNotes(Book& book, Record& record, const std::string& cycle, const std::filesystem::path& file);

}  // namespace app::book
