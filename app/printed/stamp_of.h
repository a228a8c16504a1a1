#pragma once

#include "app/book/book.h"
#include "app/report/stamp.h"

namespace app::printed {

/// What the book says of a revision: who saved it why, signatures that hold or do not, evidence, the book's seal.
vision::Result<report::RecordStamp> StampOf(book::Book& book, const book::Revision& revision, book::Record& record,
                                            const std::string& cycle);

}  // namespace app::printed
