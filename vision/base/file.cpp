#include "vision/base/file.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <cctype>
#include <cerrno>
#include <fstream>
#include <sstream>

namespace vision {
namespace fs = std::filesystem;
namespace {

/// @return false where the disk said that bytes were lost; a file system that cannot be asked loses none by that.
bool Kept(std::error_code settled) {
  return settled != std::errc::io_error && settled != std::errc::no_space_on_device && settled.value() != EDQUOT;
}

}  // namespace

Status MakeFolder(const std::filesystem::path& folder) {
  std::error_code failed;
  std::filesystem::create_directories(folder, failed);
  if (!failed) return std::nullopt;
  return Error{ErrorCode::kIo, "Cannot make the folder " + folder.string() + ": " + failed.message() + "."};
}

std::error_code SettleOnDisk(const fs::path& path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) return {errno, std::generic_category()};
  const int failed = ::fsync(file) == 0 ? 0 : errno;
  ::close(file);
  return {failed, std::generic_category()};
}

Status PutInPlace(const fs::path& temporary, const fs::path& path, Settle settle) {
  std::error_code failed, ignored;
  if (settle == Settle::kNow) failed = SettleOnDisk(temporary);
  if (Kept(failed)) fs::rename(temporary, path, failed);
  if (failed) {
    fs::remove(temporary, ignored);
    return Error{ErrorCode::kIo, "Cannot write " + path.string() + ": " + failed.message() + "."};
  }
  if (settle == Settle::kNow) SettleOnDisk(path.has_parent_path() ? path.parent_path() : fs::path("."));
  return std::nullopt;
}

Status WriteFileWhole(const fs::path& path, const std::string& bytes, Settle settle) {
  const fs::path temporary = path.string() + ".part" + std::to_string(::getpid());
  std::ofstream out(temporary, std::ios::binary | std::ios::trunc);
  out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  out.close();
  if (out) return PutInPlace(temporary, path, settle);
  std::error_code ignored;
  fs::remove(temporary, ignored);
  return Error{ErrorCode::kIo, "Cannot write " + path.string() + "; the folder must exist and be writable."};
}

Result<std::string> ReadFileWhole(const fs::path& path, std::size_t max_bytes) {
  std::error_code failed;
  if (!fs::exists(path, failed)) return Error{ErrorCode::kIo, "No file " + path.string() + "."};
  if (!fs::is_regular_file(path, failed)) return Error{ErrorCode::kIo, path.string() + " is not a file."};
  if (fs::file_size(path, failed) > max_bytes)
    return BadInput(path.string() + " is larger than " + std::to_string(max_bytes >> 20) + " MiB.");
  std::ifstream in(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << in.rdbuf();
  if (!in) return Error{ErrorCode::kIo, "Cannot read " + path.string() + "."};
  return std::move(bytes).str();
}

bool EndsWithOneOf(const fs::path& file, std::initializer_list<std::string_view> endings) {
  std::string ending = file.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(), [](unsigned char c) { return std::tolower(c); });
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

std::vector<fs::path> PicturesIn(const fs::path& folder) {
  std::vector<fs::path> files;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed))
    if (EndsWithOneOf(entry.path(), {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".bmp"})) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace vision
