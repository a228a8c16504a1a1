#pragma once

#include <filesystem>
#include <string>

#include "vision/base/result.h"

namespace vision {

/// Writes `bytes` to a temporary name beside `path` and renames it, so that a reader sees the old file or the new,
/// never half. File and folder are handed to the disk (fsync) before it returns.
/// @return kIo with the path when the folder cannot be written.
Status WriteFileWhole(const std::filesystem::path& path, const std::string& bytes);

/// @return The file's bytes; kIo when it is missing or cannot be read, kBadInput when larger than `max_bytes`.
Result<std::string> ReadFileWhole(const std::filesystem::path& path, std::size_t max_bytes = 256u << 20);

}  // namespace vision
