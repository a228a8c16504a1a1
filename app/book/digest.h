#pragma once

#include <filesystem>
#include <string>

#include "vision/base/result.h"

/// SHA-256 (FIPS 180-4), as 64 small hexadecimal digits.
namespace app::book {

std::string Sha256(const std::string& bytes);

/// Reads the file piece by piece. @return kIo when it cannot be read.
vision::Result<std::string> Sha256OfFile(const std::filesystem::path& file);

}  // namespace app::book
