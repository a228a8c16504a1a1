#pragma once

#include "vision/base/sentence.h"

namespace vision {

enum class Says : int {
#define SAYS(code, english) code,
#include "vision/base/every_sentence.h"
#undef SAYS
};

/// One past the last.
constexpr int kSentences = static_cast<int>(Says::kBelow) + 1;

}  // namespace vision
