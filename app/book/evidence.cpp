#include "app/book/evidence.h"

#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <fstream>

#include "app/book/digest.h"
#include "vision/base/file.h"

namespace app::book {

namespace {
namespace fs = std::filesystem;

vision::Error CannotWrite(const fs::path& path, const std::string& why) {
  return {vision::ErrorCode::kIo, "Cannot write " + path.string() + " into the evidence store: " + why + "."};
}

/// Brings `temporary`, whose content is known to be `sha256`, to its name.
vision::Status Place(const fs::path& temporary, const fs::path& name) {
  std::error_code failed;
  const bool new_folder = fs::create_directories(name.parent_path(), failed);
  if (failed) return CannotWrite(name, failed.message());
  fs::permissions(temporary, fs::perms::owner_read | fs::perms::group_read | fs::perms::others_read, failed);
  if (failed || vision::SettleOnDisk(temporary)) return CannotWrite(temporary, "it does not reach the disk");
  fs::rename(temporary, name, failed);
  if (failed) return CannotWrite(name, failed.message());
  if (vision::SettleOnDisk(name.parent_path()) ||
      (new_folder && vision::SettleOnDisk(name.parent_path().parent_path())))
    return CannotWrite(name, "the folder does not reach the disk");
  return std::nullopt;
}

fs::path TemporaryIn(const fs::path& folder) {
  static std::atomic<int> counter{0};
  return folder / (".part-" + std::to_string(::getpid()) + "-" + std::to_string(counter.fetch_add(1)));
}

FileRef Reference(const std::string& sha256, std::int64_t bytes, const std::string& name) {
  FileRef ref;
  ref.sha256 = sha256;
  ref.bytes = bytes;
  ref.name = name;
  return ref;
}
}  // namespace

vision::Result<FileRef> EvidenceStore::CheckHeld(const FileRef& ref) const {
  auto hash = Sha256OfFile(PathOf(ref.sha256));
  if (!hash.ok()) return hash.error();
  if (hash.value() == ref.sha256) return ref;
  return vision::BadInput("The evidence store holds a damaged " + PathOf(ref.sha256).string() +
                          ": its SHA-256 differs; run `book verify` and put back a good copy.");
}

vision::Result<FileRef> EvidenceStore::Copy(const fs::path& file) const {
  std::error_code failed;
  if (!fs::is_regular_file(file, failed))
    return vision::Error{vision::ErrorCode::kIo, "No file " + file.string() + "."};
  fs::create_directories(folder_, failed);
  const fs::path temporary = TemporaryIn(folder_);
  const auto drop = [&] {
    std::error_code ignored;
    fs::remove(temporary, ignored);
  };
  fs::copy_file(file, temporary, failed);
  if (failed) return drop(), CannotWrite(file, failed.message());
  auto sha256 = Sha256OfFile(temporary);  // of the copy: what is kept is what is named
  if (!sha256.ok()) return drop(), sha256.error();
  const auto ref =
      Reference(sha256.value(), static_cast<std::int64_t>(fs::file_size(temporary, failed)), file.filename().string());
  if (Holds(ref)) return drop(), CheckHeld(ref);
  if (auto wrong = Place(temporary, PathOf(ref.sha256))) return drop(), *wrong;
  return ref;
}

vision::Result<FileRef> EvidenceStore::Keep(const std::string& bytes, const std::string& name) const {
  const auto ref = Reference(Sha256(bytes), static_cast<std::int64_t>(bytes.size()), name);
  if (Holds(ref)) return CheckHeld(ref);
  std::error_code failed;
  fs::create_directories(folder_, failed);
  const fs::path temporary = TemporaryIn(folder_);
  if (auto wrong = vision::WriteFileWhole(temporary, bytes, vision::Settle::kLater)) return *wrong;
  if (auto wrong = Place(temporary, PathOf(ref.sha256))) return *wrong;
  return ref;
}

vision::Result<FileRef> EvidenceStore::Refer(const fs::path& file) const {
  auto sha256 = Sha256OfFile(file);
  if (!sha256.ok()) return sha256.error();
  std::error_code failed;
  auto ref =
      Reference(sha256.value(), static_cast<std::int64_t>(fs::file_size(file, failed)), file.filename().string());
  ref.held = "referenced";
  ref.path = fs::absolute(file, failed).lexically_normal().string();
  return ref;
}

fs::path EvidenceStore::PathOf(const std::string& sha256) const { return folder_ / sha256.substr(0, 2) / sha256; }

fs::path EvidenceStore::PathOf(const FileRef& ref) const {
  std::error_code ignored;  // a referenced file that came in a bundle lies in the store, and is looked for there alone
  const bool outside = ref.held == "referenced" && !fs::exists(fs::symlink_status(PathOf(ref.sha256), ignored));
  return outside ? fs::path(ref.path) : PathOf(ref.sha256);
}

bool EvidenceStore::Holds(const FileRef& ref) const {
  std::error_code failed;
  const auto path = PathOf(ref);
  if (!fs::is_regular_file(path, failed)) return false;
  const auto size = fs::file_size(path, failed);
  return !failed && static_cast<std::int64_t>(size) == ref.bytes;
}

vision::Status EvidenceStore::Prove(const FileRef& ref) const {
  const auto path = PathOf(ref);
  std::error_code failed;
  const auto size = fs::file_size(path, failed);
  auto hash = Sha256OfFile(path);
  if (!hash.ok()) return hash.error();
  const std::string which =
      "The evidence " + ref.name + " (" + path.string() + ") is no longer what was recorded: its ";
  if (hash.value() != ref.sha256) return vision::BadInput(which + "SHA-256 differs.");
  if (!failed && static_cast<std::int64_t>(size) != ref.bytes) return vision::BadInput(which + "size differs.");
  return std::nullopt;
}

std::vector<fs::path> EvidenceStore::Everything() const {
  std::vector<fs::path> all;
  std::error_code failed;
  for (fs::recursive_directory_iterator at(folder_, failed), end; !failed && at != end; at.increment(failed))
    if (!at->is_directory(failed) || at->is_symlink(failed)) all.push_back(at->path());
  std::sort(all.begin(), all.end());
  return all;
}

vision::Result<std::string> EvidenceStore::Read(const FileRef& ref) const {
  auto bytes = vision::ReadFileWhole(PathOf(ref));
  if (!bytes.ok()) return bytes;
  if (Sha256(bytes.value()) != ref.sha256)
    return vision::BadInput("The evidence " + ref.name + " (" + PathOf(ref).string() +
                            ") is no longer what was recorded: its SHA-256 differs.");
  return bytes;
}

Arrivals::~Arrivals() {
  std::error_code ignored;
  for (const auto& part : parts_) fs::remove(part, ignored);
}

vision::Result<fs::path> Arrivals::Next() {
  if (auto failed = vision::MakeFolder(store_.folder())) return *failed;
  parts_.push_back(TemporaryIn(store_.folder()));
  return parts_.back();
}

vision::Status Arrivals::Take(const fs::path& part, const std::string& sha256) {
  auto hash = Sha256OfFile(part);
  if (!hash.ok()) return hash.error();
  if (hash.value() != sha256) return vision::BadInput("files/" + sha256 + " is not what its SHA-256 says.");
  known_.emplace_back(part, sha256);
  return std::nullopt;
}

vision::Status Arrivals::Place() {
  for (const auto& [part, sha256] : known_) {
    const fs::path name = store_.PathOf(sha256);
    std::error_code ignored;
    if (fs::exists(fs::symlink_status(name, ignored))) {
      auto held = Sha256OfFile(name);
      if (held.ok() && held.value() == sha256) continue;
      TakeBack();
      return vision::BadInput("The evidence store holds a damaged " + name.string() +
                              ": its SHA-256 differs; run `book verify` and put back a good copy.");
    }
    if (auto failed = app::book::Place(part, name)) return TakeBack(), failed;
    placed_.push_back(name);
  }
  return std::nullopt;
}

void Arrivals::TakeBack() {
  std::error_code ignored;
  for (const auto& name : placed_) {
    fs::remove(name, ignored);
    fs::remove(name.parent_path(), ignored);  // when it is empty
  }
  placed_.clear();
}

}  // namespace app::book
