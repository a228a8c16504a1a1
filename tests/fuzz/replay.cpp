// fuzz_replay SEEDS [READER [SECONDS [SEED]]]: feeds every file of SEEDS/<reader> to its reader, for all readers or
// one; with SECONDS also inputs made of the seeds by chance (bits and bytes turned, pieces taken out, doubled, put in
// from another seed), for so long. A crash or 20 s without an answer ends it; the input is then in SEEDS-last.
#include <fcntl.h>
#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <random>
#include <vector>

#include "tests/fuzz/readers.h"

namespace {
namespace fs = std::filesystem;
constexpr std::size_t kMost = 1u << 20;
constexpr unsigned kHang_s = 20;

std::vector<std::string> Seeds(const fs::path& folder) {
  std::vector<fs::path> files;
  std::error_code none;
  for (const auto& entry : fs::directory_iterator(folder, none)) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  std::vector<std::string> seeds;
  for (const auto& file : files) {
    std::ifstream in(file, std::ios::binary);
    seeds.emplace_back(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
  }
  return seeds;
}

/// What is fed now, in a file that outlives a crash: four bytes of length, then the input.
class Last {
 public:
  explicit Last(const fs::path& file) {
    const int out = ::open(file.c_str(), O_RDWR | O_CREAT | O_TRUNC, 0644);
    if (out < 0 || ::ftruncate(out, kMost + 4) != 0) std::exit(2);
    at_ = static_cast<char*>(::mmap(nullptr, kMost + 4, PROT_READ | PROT_WRITE, MAP_SHARED, out, 0));
    ::close(out);
  }
  void Note(const std::string& input) {
    const auto size = static_cast<std::uint32_t>(input.size());
    std::memcpy(at_, &size, 4);
    std::memcpy(at_ + 4, input.data(), input.size());
  }

 private:
  char* at_ = nullptr;
};

std::string Mutated(const std::vector<std::string>& seeds, std::mt19937_64& random) {
  const auto any = [&](std::size_t below) { return below == 0 ? 0 : static_cast<std::size_t>(random() % below); };
  static const std::vector<std::string> words{"null",        "-1",       "1e308",   "-0.0", "[",
                                              "{",           "\"",       "\\u0000", "\xff", "18446744073709551616",
                                              "true",        "[[[[[[[[", "{\"a\":", ",",    std::string(1, '\0'),
                                              "\xef\xbb\xbf"};
  std::string input = seeds[any(seeds.size())];
  for (std::size_t n = 1 + any(6); n > 0; --n) {
    const std::size_t at = any(input.size() + 1),
                      length = any(std::min<std::size_t>(input.size() - std::min(at, input.size()), 64) + 1);
    switch (any(7)) {
      case 0:
        if (at < input.size()) input[at] = static_cast<char>(input[at] ^ (1 << any(8)));
        break;
      case 1:
        if (at < input.size()) input[at] = static_cast<char>(random());
        break;
      case 2:
        input.erase(std::min(at, input.size()), length);
        break;
      case 3:
        input.insert(std::min(at, input.size()), input.substr(std::min(at, input.size()), length));
        break;
      case 4:
        input.insert(std::min(at, input.size()), words[any(words.size())]);
        break;
      case 5:
        input.replace(std::min(at, input.size()), length, words[any(words.size())]);
        break;
      default: {
        const std::string& other = seeds[any(seeds.size())];
        const std::size_t from = any(other.size() + 1);
        input = input.substr(0, std::min(at, input.size())) + other.substr(from);
      }
    }
  }
  if (input.size() > kMost) input.resize(kMost);
  return input;
}

/// @return How many inputs were fed.
long Feed(const std::string& name, const fs::path& folder, double seconds, std::uint64_t seed, Last& last) {
  const fuzz::Reader& reader = fuzz::Readers().at(name);
  const auto seeds = Seeds(folder / name);
  if (seeds.empty()) {
    std::fprintf(stderr, "%s has no seeds\n", (folder / name).c_str());
    std::exit(1);
  }
  long fed = 0;
  const auto feed = [&](const std::string& input) {
    last.Note(input);
    ::alarm(kHang_s);
    reader(input);
    ::alarm(0);
    ++fed;
  };
  for (const auto& input : seeds) feed(input);
  std::mt19937_64 random(seed);
  const auto end = std::chrono::steady_clock::now() + std::chrono::duration<double>(seconds);
  while (seconds > 0 && std::chrono::steady_clock::now() < end) feed(Mutated(seeds, random));
  return fed;
}
}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) return std::fprintf(stderr, "fuzz_replay SEEDS [READER [SECONDS [SEED]]]\n"), 2;
  const fs::path folder = argv[1];
  const std::string one = argc > 2 ? argv[2] : "";
  const double seconds = argc > 3 ? std::atof(argv[3]) : 0;
  const std::uint64_t seed = argc > 4 ? std::strtoull(argv[4], nullptr, 10) : 1;
  Last last(fs::temp_directory_path() / ("rootscroll_fuzz_last_" + std::to_string(::getpid())));
  for (const auto& [name, reader] : fuzz::Readers())
    if (one.empty() || one == "all" || one == name)
      std::printf("%s: %ld inputs\n", name.c_str(), Feed(name, folder, seconds, seed, last)), std::fflush(stdout);
  std::error_code ignored;
  fs::remove(fs::temp_directory_path() / ("rootscroll_fuzz_last_" + std::to_string(::getpid())), ignored);
  return 0;
}
