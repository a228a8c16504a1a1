#pragma once

#include <string>
#include <vector>

#include "app/book/database.h"

/// The schema's history. A book carries the number of the last step it has taken; opening it takes the missing ones,
/// each whole or not at all.
namespace app::book {

/// The newest step this program knows.
int NewestSchema();

/// What each step is called, from the first to the newest.
std::vector<std::string> StepNames();

/// The step the book has taken; 0 for an empty database.
vision::Result<int> SchemaOf(Database& database);

/// Takes every step up to `version`, one program at a time.
/// @return kBadInput when the book is newer than this program.
vision::Status Migrate(Database& database, int version = NewestSchema());

}  // namespace app::book
