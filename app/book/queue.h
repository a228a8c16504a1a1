#pragma once

#include <map>
#include <optional>
#include <string>

#include "app/book/book.h"

/// The queue of recordings to be measured. A worker claims one, keeps its claim alive, and gives it up by dying: a
/// claim that is not renewed in time is free again. Only the worker that still holds the claim can put a result into
/// the book.
namespace app::book {

struct Claim {
  std::string joint, cycle, recording, worker;
};

struct QueueOptions {
  double lease_s = 60;     ///< A claim lives this long after it was last renewed; > 0.
  int most_attempts = 3;   ///< A recording whose workers died this often is set aside as failed; > 0.
  std::string joint = {};  ///< Only recordings of this joint; empty: of all.
};

/// Claims the next recording. On PostgreSQL claims of others are stepped over, never waited for.
vision::Result<std::optional<Claim>> ClaimNext(Book& book, const std::string& worker, const QueueOptions& options = {});

/// @return false when the claim is no longer ours.
vision::Result<bool> Renew(Book& book, const Claim& claim, const QueueOptions& options = {});

/// Inside the transaction that saves the result. @return false when the claim is no longer ours.
vision::Result<bool> Finish(Database& database, const Claim& claim, const std::string& reading_sha256);

/// Sets the recording aside with the reason why it cannot be measured.
vision::Status SetAside(Book& book, const Claim& claim, const std::string& trouble);

/// Frees every claim of a worker that is known to be dead. @return How many.
vision::Result<int> GiveBack(Book& book, const std::string& worker);

/// Makes failed recordings pending again. @return How many.
vision::Result<int> TryFailedAgain(Book& book);

/// How many recordings are in each state. @param joint Only those of this joint; empty: all.
vision::Result<std::map<std::string, int>> QueueCounts(Book& book, const std::string& joint = {});

}  // namespace app::book
