#pragma once

#include <string>

#include "app/book/layout.h"
#include "app/report/report.h"

/// A revision of a joint book as it is printed: one composition for command and window.
namespace app::printed {

/// Which revision of which joint.
struct PrintRequest {
  std::string joint;
  std::string cycle = "R0";
  std::int64_t revision = 0;  ///< 0: the newest.
};

struct Printed {
  book::Revision revision;
  book::Record record;
  book::LaidReading laid;     ///< Holds the files that `input` names for as long as it lives.
  report::ReportInput input;  ///< The verdict as it is on the record, stamp and signatures with it.
};

/// @return kNotFound where joint, revision, cycle or a reading is not there; kBadInput where a file is no longer what
///   was recorded.
vision::Result<Printed> PrintOf(book::Book& book, const PrintRequest& request);

}  // namespace app::printed
