#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "app/book/record.h"

/// Revisions are only added. Each names its parent by hash, so that a change anywhere before shows.
namespace app::book {

struct Revision {
  std::string joint;
  std::int64_t number = 0;  ///< From 1.
  std::string author;       ///< Who says so, as typed.
  std::string login;        ///< Who the server or the operating system says it was.
  std::string made_at;      ///< UTC, ISO 8601.
  std::string reason;
  std::string parent;  ///< Hash of the revision before; "" for the first.
  std::string hash;
  std::string body;  ///< The record's JSON.

  /// SHA-256 over all of the above but `hash`, each part set apart from the next.
  std::string ComputeHash() const;
};

/// One line of the book's journal: everything ever added, in one chain over all joints.
struct JournalLine {
  std::int64_t seq = 0;
  std::string kind;  ///< revision | signoff | key
  std::string item;  ///< Hash of what was added.
  std::string seal;  ///< SHA-256 over the line before's seal, seq, kind and item.
};

std::string ComputeSeal(const std::string& seal_before, std::int64_t seq, const std::string& kind,
                        const std::string& item);

/// Hash over parts that cannot run into each other (a JSON array of texts).
std::string HashOfParts(const std::vector<std::string>& parts);

/// One value that two versions of a record do not share.
struct Change {
  std::string path;           ///< JSON pointer: /cycles/0/welder
  std::string before, after;  ///< JSON, "" where absent.
};

/// What a person must change in `before` to get `after`; both JSON texts of records.
std::vector<Change> Changes(const std::string& before, const std::string& after);

/// Somebody saved a revision while this person was thinking.
struct Conflict {
  std::int64_t based_on = 0;
  Revision theirs;                   ///< The newest revision in the book.
  std::vector<Change> mine, others;  ///< Both against `based_on`.

  /// As the person sees it: who, when, why, and both versions value by value.
  std::string Text() const;
};

}  // namespace app::book
