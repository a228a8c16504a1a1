#pragma once

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

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

  /// Where the bytes of `ref` lie: in the store, else where a referenced file was left.
  std::filesystem::path PathOf(const FileRef& ref) const;
  std::filesystem::path PathOf(const std::string& sha256) const;

  /// Whether a file of the right size lies there (its hash is not computed).
  bool Holds(const FileRef& ref) const;

  /// @return kBadInput when the bytes are no longer those of `ref`; kIo when they cannot be read.
  vision::Status Prove(const FileRef& ref) const;

  vision::Result<std::string> Read(const FileRef& ref) const;

  /// Everything that lies in the store.
  std::vector<std::filesystem::path> Everything() const;

 private:
  /// A file that is there already must still be what its name says.
  vision::Result<FileRef> CheckHeld(const FileRef& ref) const;
  std::filesystem::path folder_;
};

/// Files on their way into the store: they lie beside it until all of them are known to be right. What was not placed
/// is gone when it goes out of scope.
class Arrivals {
 public:
  explicit Arrivals(const EvidenceStore& store) : store_(store) {}
  Arrivals(const Arrivals&) = delete;
  Arrivals& operator=(const Arrivals&) = delete;
  ~Arrivals();

  /// A name for the next file.
  vision::Result<std::filesystem::path> Next();
  /// @param part A name that Next gave, with its bytes. @return kBadInput when they are not `sha256`'s.
  vision::Status Take(const std::filesystem::path& part, const std::string& sha256);
  /// Brings all to their names, on the disk when it returns. After a failure nothing new lies in the store.
  vision::Status Place();
  /// Takes back what Place brought in.
  void TakeBack();

 private:
  const EvidenceStore& store_;
  std::vector<std::filesystem::path> parts_, placed_;
  std::vector<std::pair<std::filesystem::path, std::string>> known_;
};

}  // namespace app::book
