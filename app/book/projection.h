#pragma once

#include "app/book/database.h"
#include "app/book/revision.h"

/// The tables people search in are worked out from the newest revision of each joint; they can be made again from it.
namespace app::book {

/// Writes the rows of `record`, which is the body of `revision`, in place of the joint's earlier ones. Recordings that
/// the queue does not know yet become pending.
vision::Status Project(Database& database, const Revision& revision, const Record& record);

/// Everything the tables say about a joint, as text to be compared.
vision::Result<std::string> ProjectedText(Database& database, const std::string& joint);

/// What the tables should say.
std::string ExpectedText(const Revision& revision, const Record& record);

}  // namespace app::book
