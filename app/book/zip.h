#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "vision/base/result.h"

/// Zip archives through libzip. The same content gives the same bytes: entries carry one fixed date.
namespace app::book {

struct ZipEntry {
  std::string name;
  std::string bytes;           ///< Used when `file` is empty.
  std::filesystem::path file;  ///< Read while writing.
};

/// Writes the archive under a temporary name and renames it. Its comment holds the SHA-256 of every byte before it, so
/// that a changed bit anywhere shows, also where the format itself has no sum.
vision::Status WriteZip(const std::filesystem::path& path, const std::vector<ZipEntry>& entries);

/// Whether the file is byte by byte what WriteZip wrote.
/// @return kBadInput when it is not, or carries no such sum.
vision::Status CheckWhole(const std::filesystem::path& path);

/// One entry as the archive's directory tells it.
struct ZipListed {
  std::string name;
  std::uint64_t bytes = 0;  ///< Unpacked.
  bool stored = false;      ///< Not compressed: takes as much room in the archive.
};

class ZipReader {
 public:
  static vision::Result<ZipReader> Open(const std::filesystem::path& path);
  /// @return kBadInput when a name stands twice in it or there are more than `most` entries.
  vision::Result<std::vector<ZipListed>> List(std::size_t most = 100000) const;
  /// @return kBadInput when there is no such entry, it is larger than `max_bytes`, or damaged.
  vision::Result<std::string> Read(const std::string& name, std::size_t max_bytes = 256u << 20) const;
  /// As Read, into a file.
  vision::Status Extract(const std::string& name, const std::filesystem::path& to, std::size_t max_bytes) const;

 private:
  ZipReader(std::shared_ptr<void> archive, std::string path) : archive_(std::move(archive)), path_(std::move(path)) {}
  vision::Status Each(const std::string& name, std::size_t max_bytes,
                      const std::function<void(const char*, std::size_t)>& piece) const;
  std::shared_ptr<void> archive_;
  std::string path_;
};

}  // namespace app::book
