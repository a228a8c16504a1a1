#pragma once

#include <cstdint>
#include <filesystem>
#include <limits>
#include <string>

#include "vision/base/result.h"

/// SHA-256 (FIPS 180-4), as 64 small hexadecimal digits.
namespace app::book {

std::string Sha256(const std::string& bytes);

/// Reads the file piece by piece. @return kIo when it cannot be read; kBadInput for what is no regular file (a device,
/// a FIFO), which is not read and not waited for.
/// @param bytes Of its beginning; all of it where it is shorter.
vision::Result<std::string> Sha256OfFile(const std::filesystem::path& file,
                                         std::uint64_t bytes = std::numeric_limits<std::uint64_t>::max());

}  // namespace app::book
