#include "vision/study/text.h"

#include <cstdarg>
#include <cstdio>

namespace vision::study {

std::string Text(const char* format, ...) {
  char text[512];
  va_list values;
  va_start(values, format);
  std::vsnprintf(text, sizeof text, format, values);
  va_end(values);
  return text;
}

}  // namespace vision::study
