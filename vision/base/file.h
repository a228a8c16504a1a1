#pragma once

#include <filesystem>
#include <initializer_list>
#include <string>
#include <string_view>
#include <system_error>
#include <vector>

#include "vision/base/result.h"

namespace vision {

/// When what was written must be on the disk, so that a power cut cannot take it back.
enum class Settle {
  kNow,    ///< Before the call returns.
  kLater,  ///< The caller sees to it with SettleOnDisk: for a thread that must not wait.
};

/// Writes `bytes` to a temporary name beside `path` and renames it, so that a reader sees the old file or the new,
/// never half.
/// @return kIo with the path when the folder cannot be written.
Status WriteFileWhole(const std::filesystem::path& path, const std::string& bytes, Settle settle = Settle::kNow);

/// Gives a complete file that lies beside `path` its name, for those whose bytes another library writes: both the bytes
/// and the name are on the disk when it returns, and after a failure `temporary` is gone.
/// @return kIo with the path.
Status PutInPlace(const std::filesystem::path& temporary, const std::filesystem::path& path,
                  Settle settle = Settle::kNow);

/// Makes a folder and those above it where they are missing.
/// @return kIo with the folder and why.
Status MakeFolder(const std::filesystem::path& folder);

/// Waits until a file's bytes, or a folder's names, are on the disk. Slow.
/// @return Why not. Some network folders know no such order: then EINVAL or the like, and nothing was lost by that.
std::error_code SettleOnDisk(const std::filesystem::path& path);

/// @return The file's bytes; kIo when it is missing or cannot be read, kBadInput when larger than `max_bytes`.
Result<std::string> ReadFileWhole(const std::filesystem::path& path, std::size_t max_bytes = 256u << 20);

/// @param endings In small letters, with the dot; the file's own may be in capitals.
bool EndsWithOneOf(const std::filesystem::path& file, std::initializer_list<std::string_view> endings);

/// The still pictures of a folder (jpg, jpeg, png, tif, tiff, bmp) by name; none when it cannot be read.
std::vector<std::filesystem::path> PicturesIn(const std::filesystem::path& folder);

}  // namespace vision
