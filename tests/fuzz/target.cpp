// One reader under libFuzzer; FUZZ_READER names it.
#include <cstddef>
#include <cstdint>

#include "tests/fuzz/readers.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const fuzz::Reader& reader = fuzz::Readers().at(FUZZ_READER);
  reader(std::string(reinterpret_cast<const char*>(data), size));
  return 0;
}
