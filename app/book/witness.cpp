#include "app/book/witness.h"

#include <fcntl.h>
#include <unistd.h>

#include <sstream>

#include "vision/base/file.h"

namespace app::book {

bool IsSeal(const std::string& text) {
  return text.size() == 64 && text.find_first_not_of("0123456789abcdef") == std::string::npos;
}

vision::Result<std::vector<JournalLine>> ReadWitness(const std::filesystem::path& file) {
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  std::vector<JournalLine> lines;
  std::istringstream in(text.value());
  std::string line;
  for (int number = 1; std::getline(in, line); ++number) {
    std::istringstream words(line);
    JournalLine seal;
    std::string noted_at, more;
    if (!(words >> seal.seq >> seal.seal >> noted_at) || words >> more || seal.seq < 1 || !IsSeal(seal.seal))
      return vision::BadInput(file.string() + ", line " + std::to_string(number) +
                              " is no noted seal; a line holds a number, 64 hexadecimal digits and a time.");
    lines.push_back(seal);
  }
  return lines;
}

vision::Status AddWitness(const std::filesystem::path& file, const JournalLine& seal) {
  if (seal.seq < 1) return std::nullopt;  // an empty book has none
  std::error_code failed;
  if (std::filesystem::exists(file, failed)) {
    auto lines = ReadWitness(file);
    if (!lines.ok()) return lines.error();
    if (!lines.value().empty() && lines.value().back().seal == seal.seal) return std::nullopt;
  }
  const std::string line = std::to_string(seal.seq) + " " + seal.seal + " " + NowUtc() + "\n";
  const int out = ::open(file.c_str(), O_WRONLY | O_APPEND | O_CREAT | O_CLOEXEC, 0644);
  const bool written =
      out >= 0 && ::write(out, line.data(), line.size()) == static_cast<ssize_t>(line.size()) && ::fsync(out) == 0;
  if (out >= 0) ::close(out);
  if (written) return std::nullopt;
  return vision::Error{vision::ErrorCode::kIo, "Cannot note the seal in " + file.string() + "."};
}

}  // namespace app::book
