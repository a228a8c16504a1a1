#pragma once

#include "app/words/text.h"

namespace app::words {

enum class Print : int {
#define PRINT(code, english) code,
#include "app/words/every_print.h"
#undef PRINT
};

/// One past the last.
constexpr int kPrints = 0
#define PRINT(code, english) +1
#include "app/words/every_print.h"
#undef PRINT
    ;

}  // namespace app::words
