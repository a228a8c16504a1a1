#pragma once

#include <string>
#include <vector>

#include "app/book/book.h"
#include "vision/base/job.h"

/// Proves that nothing in a book has changed, or names what did.
namespace app::book {

struct Fault {
  std::string what;  ///< original | derived | revision | signature | key | journal | table | database
  std::string text;  ///< One sentence: which one, and what is wrong.
};

struct VerifyOptions {
  bool evidence = true;  ///< Read every file; false: the database alone.
  std::string seal;      ///< A seal noted earlier, which must still be in the journal; "" = none.
};

struct VerifyReport {
  std::vector<Fault> faults;
  std::int64_t joints = 0, revisions = 0, signoffs = 0, files = 0, bytes = 0;
  std::string seal;  ///< The journal's newest.
  bool clean() const { return faults.empty(); }
};

/// Every hash, every signature, every file, the journal from its first line, and the search tables against the newest
/// revisions; all in one snapshot.
vision::Result<VerifyReport> Verify(Book& book, const VerifyOptions& options = {}, const vision::JobContext& job = {});

}  // namespace app::book
