#pragma once

#include <string>
#include <vector>

#include "app/book/book.h"
#include "vision/base/job.h"

/// Proves that nothing in a book has changed, or names what did.
namespace app::book {

struct Fault {
  /// original | derived | evidence | revision | verdict | signature | time | key | journal | table | queue | guard |
  /// text | database
  std::string what;
  std::string text;  ///< One sentence: which one, and what is wrong.
};

struct VerifyOptions {
  bool evidence = true;              ///< Read every file; false: the database alone.
  std::string seal;                  ///< A seal noted earlier, which must still be in the journal; "" = none.
  std::vector<JournalLine> witness;  ///< Seals noted earlier, each of its line (witness.h).

  std::string time_authority = {};  ///< PEM file of the certificates that time stamps must go back to; "" = none.
  double most_clock_off_s = 3600;   ///< Between a sign-off's own time and its stamp, before it is remarked on; >= 0.

  bool sealed() const { return !seal.empty() || !witness.empty(); }
};

struct VerifyReport {
  std::vector<Fault> faults;
  std::vector<Fault> remarks;  ///< Named, but no sign that anything changed: texts and sign-offs of before a rule,
                               ///< files that no revision names.
  std::int64_t joints = 0, revisions = 0, signoffs = 0, time_stamps = 0, files = 0, bytes = 0;
  std::string seal;  ///< The journal's newest.
  bool clean() const { return faults.empty(); }
};

/// Every hash, every signature, every file, the journal from its first line, what revisions say of verdicts, the search
/// tables and the queue against the newest revisions, keys and revocations, and what guards the book (guards.h); all in
/// one snapshot. Without a seal somebody who has the file may have worked out an unsigned history anew: only a seal, or
/// a signature, noted outside tells.
vision::Result<VerifyReport> Verify(Book& book, const VerifyOptions& options = {}, const vision::JobContext& job = {});

}  // namespace app::book
