#pragma once

#include <map>
#include <string>
#include <utility>

#include "app/book/database.h"
#include "app/book/revision.h"

/// The tables people search in are worked out from the newest revision of each joint; they can be made again from it.
namespace app::book {

/// Writes the rows of `record`, which is the body of `revision`, in place of the joint's earlier ones. Recordings that
/// the queue does not know yet become pending.
vision::Status Project(Database& database, const Revision& revision, const Record& record);

/// The files of `record` in the table that finds joints by a file; what other revisions named stays.
vision::Status NoteFiles(Database& database, const Record& record);

/// Recordings of which the record holds a reading count as measured, by that reading; those that counted as measured
/// and have none are pending again.
vision::Status SettleQueue(Database& database, const Record& record);

/// The readings that the queue must name, by cycle and recording.
std::map<std::pair<std::string, std::string>, std::string> MeasuredIn(const Record& record);

/// Everything the tables say about a joint, as text to be compared.
vision::Result<std::string> ProjectedText(Database& database, const std::string& joint);

/// What the tables should say.
std::string ExpectedText(const Revision& revision, const Record& record);

}  // namespace app::book
