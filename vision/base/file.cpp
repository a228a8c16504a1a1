#include "vision/base/file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <fstream>
#include <sstream>

namespace vision {
namespace fs = std::filesystem;
namespace {

/// Hands a file or folder over to the disk, so that a power cut cannot take it back. Where the file system knows no
/// such order (some network folders), writing goes on without it.
/// @return false where the disk said that bytes were lost.
bool OnTheDisk(const fs::path& path) {
  const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (file < 0) return true;
  const bool kept = ::fsync(file) == 0 || (errno != EIO && errno != ENOSPC && errno != EDQUOT);
  ::close(file);
  return kept;
}

}  // namespace

Status WriteFileWhole(const fs::path& path, const std::string& bytes) {
  const fs::path temporary = path.string() + ".part" + std::to_string(::getpid());
  {
    std::ofstream out(temporary, std::ios::binary | std::ios::trunc);
    out.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
    out.close();
    if (!out || !OnTheDisk(temporary)) {
      std::error_code ignored;
      fs::remove(temporary, ignored);
      return Error{ErrorCode::kIo, "Cannot write " + path.string() + "; the folder must exist and be writable."};
    }
  }
  std::error_code failed;
  fs::rename(temporary, path, failed);
  if (failed) return Error{ErrorCode::kIo, "Cannot write " + path.string() + ": " + failed.message() + "."};
  OnTheDisk(path.has_parent_path() ? path.parent_path() : fs::path("."));
  return std::nullopt;
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

}  // namespace vision
