// When the arc is on.
#include <algorithm>

#include "vision/arc/course_parts.h"
#include "vision/statistics/quantile.h"

namespace vision::arc {
namespace {

std::vector<double> UsualLevel(const std::vector<Sample>& samples, const BurningOptions& o) {
  std::vector<double> usual(samples.size(), 0);
  std::size_t from = 0, to = 0;
  std::vector<double> near;
  for (const auto& sample : samples)
    if (sample.glows) near.push_back(sample.level);
  const double least = near.empty() ? 0 : o.least_of_all * statistics::QuantileInPlace(near, o.usual_share);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    while (samples[from].time_s < samples[i].time_s - o.about_s) ++from;
    while (to < samples.size() && samples[to].time_s <= samples[i].time_s + o.about_s) ++to;
    near.clear();
    for (std::size_t k = from; k < to; ++k)
      if (samples[k].glows) near.push_back(samples[k].level);
    if (near.empty()) continue;
    usual[i] = std::max(statistics::QuantileInPlace(near, o.usual_share), least);
  }
  return usual;
}

std::vector<Span> SpansOf(const std::vector<bool>& on) {
  std::vector<Span> spans;
  for (std::size_t i = 0; i < on.size(); ++i) {
    if (!on[i]) continue;
    if (spans.empty() || spans.back().last + 1 != i) spans.push_back({i, i});
    spans.back().last = i;
  }
  return spans;
}

/// A pool goes on glowing when the arc is out, and a new one grows: the edges are where the light begins to change.
void MoveEdges(const std::vector<Sample>& samples, const std::vector<double>& usual, std::vector<bool>* on,
               const BurningOptions& o) {
  for (const auto& [first, last] : SpansOf(*on)) {
    for (std::size_t k = last; k > first && samples[k].level < o.going_out * usual[k]; --k) {
      if (k + 1 < samples.size() && samples[k + 1].level > samples[k].level) break;
      (*on)[k] = false;
    }
    for (std::size_t k = first; k > 0 && samples[k - 1].glows; --k) {
      if (k >= 2 && samples[k - 2].glows && samples[k - 1].level < o.rising * samples[k - 2].level) break;
      (*on)[k - 1] = true;
    }
  }
}

}  // namespace

std::vector<Span> SpansOn(const std::vector<Sample>& samples, const CourseOptions& options) {
  const auto usual = UsualLevel(samples, options.burning);
  std::vector<bool> on(samples.size());
  for (std::size_t i = 0; i < samples.size(); ++i)
    on[i] = samples[i].glows && samples[i].level >= options.off_below * usual[i];
  MoveEdges(samples, usual, &on, options.burning);
  std::vector<Span> joined;
  for (const Span& span : SpansOf(on)) {
    if (!joined.empty() &&
        samples[span.first].time_s - samples[joined.back().last].time_s < options.burning.shortest_off_s)
      joined.back().last = span.last;
    else
      joined.push_back(span);
  }
  std::erase_if(joined, [&](const Span& span) {
    return samples[span.last].time_s - samples[span.first].time_s < options.burning.shortest_on_s;
  });
  return joined;
}

}  // namespace vision::arc
