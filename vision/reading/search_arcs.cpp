#include "vision/reading/search_arcs.h"

#include <algorithm>
#include <cmath>
#include <map>

#include "vision/bore/angle.h"

namespace vision::reading {

Searched SearchedFrom(const SearchName& name, const std::vector<double>& smallest_mm, const std::vector<Reason>& why) {
  Searched out;
  out.kind = name.kind, out.side = name.side, out.size = name.size;
  const std::size_t lines = smallest_mm.size();
  std::vector<bool> flags(lines);
  struct Count {
    Reason reason;
    int lines = 0;
  };
  std::map<std::string, Count> reasons;  // by their words: of equally common ones the first
  for (std::size_t i = 0; i < lines; ++i) {
    flags[i] = std::isfinite(smallest_mm[i]);
    if (!flags[i]) ++reasons.try_emplace(EnglishOf(why[i]), Count{why[i]}).first->second.lines;
  }
  for (const auto& run : bore::RunsOnCircle(flags)) {
    SearchedArc arc{run.start_deg, run.closing_deg(), 0};
    for (std::size_t i = 0; i < lines; ++i)
      if (run.HoldsLine(360.0 * static_cast<double>(i) / static_cast<double>(lines)))
        arc.smallest_mm = std::max(arc.smallest_mm, smallest_mm[i]);
    out.degrees += run.length_deg;
    out.smallest_mm = std::fmax(out.smallest_mm, arc.smallest_mm);
    out.arcs.push_back(arc);
  }
  const auto most = std::max_element(reasons.begin(), reasons.end(),
                                     [](const auto& a, const auto& b) { return a.second.lines < b.second.lines; });
  if (most != reasons.end()) out.why = most->second.reason;
  return out;
}

}  // namespace vision::reading
