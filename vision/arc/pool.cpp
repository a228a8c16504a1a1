// Which of several bright places is the pool.
#include <algorithm>
#include <cmath>
#include <limits>

#include "vision/arc/course.h"
#include "vision/bore/angle.h"

namespace vision::arc {
namespace {

struct Way {
  double cost = std::numeric_limits<double>::infinity();
  std::size_t before = 0;
};

double StepCost(const Seen& a, const LightPlace& from, const Seen& b, const LightPlace& to, double radius_mm,
                const PoolOptions& o) {
  const double moved_mm = std::abs(bore::ArcMm(bore::Wrap180(to.theta_deg - from.theta_deg), radius_mm));
  const double beyond_mm = std::max(0.0, moved_mm - o.travel_mm_s * (b.time_s - a.time_s));
  return std::min(o.most, beyond_mm / o.step_mm);
}

/// Fills in the samples of a stretch in which something glows all the time (Viterbi).
void Follow(const std::vector<Seen>& seen, std::size_t first, std::size_t last, double radius_mm,
            std::vector<Sample>* samples, const PoolOptions& o) {
  std::vector<std::vector<Way>> ways(last - first + 1);
  for (std::size_t i = first; i <= last; ++i) {
    auto& now = ways[i - first];
    now.resize(seen[i].places.size());
    for (std::size_t k = 0; k < now.size(); ++k) {
      const auto& place = seen[i].places[k];
      const double dim = o.dim * std::log(seen[i].places.front().level / std::max(1e-9, place.level));
      if (i == first) {
        now[k] = {dim, 0};
        continue;
      }
      for (std::size_t j = 0; j < ways[i - first - 1].size(); ++j) {
        const double cost = ways[i - first - 1][j].cost + dim +
                            StepCost(seen[i - 1], seen[i - 1].places[j], seen[i], place, radius_mm, o);
        if (cost < now[k].cost) now[k] = {cost, j};
      }
    }
  }
  const auto& end = ways.back();
  std::size_t at = 0;
  for (std::size_t k = 1; k < end.size(); ++k)
    if (end[k].cost < end[at].cost) at = k;
  for (std::size_t i = last + 1; i-- > first;) {
    const auto& place = seen[i].places[at];
    (*samples)[i] = {seen[i].time_s, seen[i].index, place.glows, place.theta_deg, place.level, place.full_share};
    at = ways[i - first][at].before;
  }
}

}  // namespace

std::vector<Sample> FollowPool(const std::vector<Seen>& seen, double radius_mm, const PoolOptions& o) {
  std::vector<Sample> samples(seen.size());
  const auto glows = [&](std::size_t i) { return !seen[i].places.empty() && seen[i].places.front().glows; };
  for (std::size_t i = 0; i < seen.size(); ++i) {
    if (!glows(i)) {
      samples[i] = {
          seen[i].time_s, seen[i].index, false, 0, seen[i].places.empty() ? 0 : seen[i].places.front().level, 0};
      continue;
    }
    std::size_t last = i;
    while (last + 1 < seen.size() && glows(last + 1) && seen[last + 1].time_s - seen[last].time_s < o.forgets_s) ++last;
    Follow(seen, i, last, radius_mm, &samples, o);
    i = last;
  }
  return samples;
}

}  // namespace vision::arc
