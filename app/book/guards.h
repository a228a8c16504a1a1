#pragma once

#include <string>
#include <vector>

#include "app/book/database.h"

/// What guards a book from the inside: tables, triggers, row policies, and the few facts outside the chain.
namespace app::book {

/// Notes one hash over the book's facts (evidence folder, steps of its schema), so that a change of them shows.
vision::Status NoteSum(Database& database);

/// One sentence for each guard that is missing, changed or should not be there; each fact that is not as it was noted.
vision::Result<std::vector<std::string>> GuardFaults(Database& database);

}  // namespace app::book
