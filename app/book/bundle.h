#pragma once

#include <cstdint>
#include <filesystem>
#include <string>

#include "app/book/book.h"

/// One joint in one zip file, to be passed on and read years later without this program: `manifest.json` (hash and size
/// of everything), `record.json` (the newest record, to read), `history.json` (every revision, sign-off and key as the
/// book holds them), `files/` (the evidence by its SHA-256). Referenced files go in too.
namespace app::book {

/// @return kBadInput when a file is no longer what was recorded: nothing broken is passed on.
vision::Status ExportBundle(Book& book, const std::string& joint, const std::filesystem::path& file);

struct ImportOptions {
  bool trust_keys = false;  ///< Register the keys of the bundle that this book does not know.
  std::uint64_t most_bytes = std::uint64_t{64} << 30;  ///< Of all files together; > 0.
  std::uint64_t most_text = std::uint64_t{64} << 20;   ///< Of each of manifest, record and history; > 0.

  [[nodiscard]] vision::Status Check() const;
};

struct ImportReport {
  std::string joint;
  std::int64_t revisions = 0, signoffs = 0, files = 0;
  bool without_sum = false;  ///< Exported by an early version, without a sum over the whole file.
};

/// Takes the joint in with all its revisions, as they were: authors, times and hashes stay. Recordings that have a
/// reading count as measured. All or nothing.
/// @return kBadInput when anything in the bundle is not what its hash says, the file is not byte by byte what was
///   exported, sizes are not as told or beyond the options, a record could not stand in a book, a verdict is not borne
///   out by its file, a signature does not hold, a key is unknown and not trusted, or the book has the joint already.
///   Then nothing of it is left, in the book or in the evidence store.
vision::Result<ImportReport> ImportBundle(Book& book, const std::filesystem::path& file,
                                          const ImportOptions& options = {});

}  // namespace app::book
