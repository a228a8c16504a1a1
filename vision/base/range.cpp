#include "vision/base/range.h"

#include <sstream>

namespace vision {

Status FirstOutside(const char* options, std::initializer_list<Ranged> numbers) {
  for (const Ranged& n : numbers)
    if (!(n.value >= n.low && n.value <= n.high)) {
      std::ostringstream said;
      said << options << "::" << n.name << " is " << n.value << "; it must be " << n.low << " to " << n.high << ".";
      return BadInput(said.str());
    }
  return std::nullopt;
}

}  // namespace vision
