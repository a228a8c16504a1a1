#include <stdexcept>

#include "app/joint/embedded.h"

namespace app::joint {

std::string EmbeddedText(std::string_view name) {
  for (const EmbeddedFile& file : EmbeddedFiles())
    if (file.name == name) return std::string(file.text);
  throw std::logic_error("no embedded file " + std::string(name));
}

}  // namespace app::joint
