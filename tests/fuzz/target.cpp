// Every reader under libFuzzer in one program (the libraries behind it are large): the environment variable FUZZ_READER
// names the reader.
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "tests/fuzz/readers.h"

namespace {
const fuzz::Reader& Chosen() {
  const char* name = std::getenv("FUZZ_READER");
  const auto at = fuzz::Readers().find(name == nullptr ? "" : name);
  if (at != fuzz::Readers().end()) return at->second;
  std::fputs("FUZZ_READER must name one of:", stderr);
  for (const auto& [reader, run] : fuzz::Readers()) std::fprintf(stderr, " %s", reader.c_str());
  std::fputs("\n", stderr);
  std::exit(2);
}
}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const fuzz::Reader& reader = Chosen();
  reader(std::string(reinterpret_cast<const char*>(data), size));
  return 0;
}
