#pragma once

#include <filesystem>
#include <string>

#include "app/book/record.h"

/// Files by their content: FOLDER/ab/abcdef… holds the bytes whose SHA-256 is abcdef…. A file once there is never
/// written again.
namespace app::book {

class EvidenceStore {
 public:
  explicit EvidenceStore(std::filesystem::path folder) : folder_(std::move(folder)) {}

  const std::filesystem::path& folder() const { return folder_; }

  /// Copies the file in, read-only, and waits until it is on the disk.
  /// @return The reference with hash, size and name; kIo when the file cannot be read or the store not be written.
  vision::Result<FileRef> Copy(const std::filesystem::path& file) const;

  /// As Copy for bytes in memory.
  vision::Result<FileRef> Keep(const std::string& bytes, const std::string& name) const;

  /// Leaves the file where it is and notes its hash.
  vision::Result<FileRef> Refer(const std::filesystem::path& file) const;

  /// Where the bytes of `ref` lie.
  std::filesystem::path PathOf(const FileRef& ref) const;
  std::filesystem::path PathOf(const std::string& sha256) const;

  /// Whether a file of the right size lies there (its hash is not computed).
  bool Holds(const FileRef& ref) const;

  vision::Result<std::string> Read(const FileRef& ref) const;

 private:
  /// A file that is there already must still be what its name says.
  vision::Result<FileRef> CheckHeld(const FileRef& ref) const;
  std::filesystem::path folder_;
};

}  // namespace app::book
