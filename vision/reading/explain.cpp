#include "vision/reading/explain.h"

#include <cstdio>
#include <map>

#include "vision/bore/angle.h"

namespace vision::reading {

std::string Rounded(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.2f", value);
  return text;
}

void Explain(const std::string& what, const std::vector<bool>& absent, const Reason& reason, Reading& reading) {
  for (const auto& arc : bore::RunsOnCircle(absent))
    reading.why.push_back({what, arc.start_deg, arc.closing_deg(), reason});
}

void Explain(const std::string& what, const std::vector<Reason>& reasons, Reading& reading) {
  std::map<Reason, std::vector<bool>> absent;
  for (std::size_t i = 0; i < reasons.size(); ++i)
    if (!reasons[i].empty()) absent.try_emplace(reasons[i], reasons.size(), false).first->second[i] = true;
  for (const auto& [reason, lines] : absent) Explain(what, lines, reason, reading);
}

}  // namespace vision::reading
