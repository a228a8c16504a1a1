#pragma once

#include <fstream>
#include <iterator>
#include <string>

namespace study_test {

inline std::string ReferenceText(const std::string& file) {
  std::ifstream in(std::string(ROOTSCROLL_SOURCE_DIR "/fixtures/references/") + file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace study_test
