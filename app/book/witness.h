#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "app/book/revision.h"

/// Seals noted outside the book, in a plain text file on another disk or with another person: one line each, the number
/// of the journal's line, its seal and when it was noted. What a book was when a line was written can then no longer be
/// changed unseen.
namespace app::book {

/// Whether `text` can be a seal: 64 small hexadecimal digits.
bool IsSeal(const std::string& text);

/// Adds a line, waits until it is on the disk; nothing when the newest line says the same already.
/// @return kIo when the file cannot be written; kBadInput when it is no such file.
vision::Status AddWitness(const std::filesystem::path& file, const JournalLine& seal);

/// @return kBadInput naming the line that is none.
vision::Result<std::vector<JournalLine>> ReadWitness(const std::filesystem::path& file);

}  // namespace app::book
