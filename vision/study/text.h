#pragma once

#include <string>

namespace vision::study {

/// printf into a text of at most 511 bytes; what is longer is cut.
[[gnu::format(printf, 1, 2)]] std::string Text(const char* format, ...);

}  // namespace vision::study
