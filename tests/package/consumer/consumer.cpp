// Exit 0 when the installed library answers a wrong input as its header says.
#include <cstdio>

#include "vision/reading/measure.h"

int main() {
  vision::reading::MeasureInput input;
  input.bore.radius_mm = 0;
  const auto refused = vision::reading::Measure(input);
  if (refused.ok() || refused.error().code != vision::ErrorCode::kBadInput) return 1;
  std::printf("%s\n", refused.error().message.c_str());
  return refused.error().message.find("radius") == std::string::npos ? 1 : 0;
}
