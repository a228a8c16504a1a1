#pragma once

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

/// Writes the archive under a temporary name and renames it.
vision::Status WriteZip(const std::filesystem::path& path, const std::vector<ZipEntry>& entries);

class ZipReader {
 public:
  static vision::Result<ZipReader> Open(const std::filesystem::path& path);
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
