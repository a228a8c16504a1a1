#pragma once

#include <string>
#include <vector>

namespace app::handbook {

struct EmbeddedFile {
  std::string name;  ///< "en/safety.md"
  std::string text;
};

/// The chapters, built in.
const std::vector<EmbeddedFile>& EmbeddedFiles();

}  // namespace app::handbook
