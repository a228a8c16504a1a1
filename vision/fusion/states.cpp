#include "vision/fusion/states.h"

#include <algorithm>
#include <array>
#include <cstddef>

namespace vision::fusion {
namespace {

struct Sequence {
  std::vector<char> state;
  double score = 0;
};

// Viterbi over one turn that starts and ends in the given state.
Sequence FromState(const std::vector<double>& evidence, double change_cost, int state) {
  const std::size_t n = evidence.size();
  std::vector<std::array<char, 2>> from(n);
  std::array<double, 2> sum{-1e12, -1e12};
  const auto gain = [&](std::size_t i, int s) { return s == 1 ? 0.5 * evidence[i] : -0.5 * evidence[i]; };
  sum[static_cast<std::size_t>(state)] = gain(0, state);
  for (std::size_t i = 1; i < n; ++i) {
    std::array<double, 2> next{};
    for (int s = 0; s < 2; ++s) {
      const double stay = sum[static_cast<std::size_t>(s)], change = sum[static_cast<std::size_t>(1 - s)] - change_cost;
      from[i][static_cast<std::size_t>(s)] = static_cast<char>(stay >= change ? s : 1 - s);
      next[static_cast<std::size_t>(s)] = std::max(stay, change) + gain(i, s);
    }
    sum = next;
  }
  const double closed = sum[static_cast<std::size_t>(state)],
               opened = sum[static_cast<std::size_t>(1 - state)] - change_cost;
  Sequence out{std::vector<char>(n), std::max(closed, opened)};
  int s = closed >= opened ? state : 1 - state;
  for (std::size_t i = n; i-- > 0;) {
    out.state[i] = static_cast<char>(s);
    if (i > 0) s = from[i][static_cast<std::size_t>(s)];
  }
  return out;
}

}  // namespace

std::vector<char> TwoStates(const std::vector<double>& evidence, double change_cost) {
  if (evidence.empty()) return {};
  const Sequence fused = FromState(evidence, change_cost, 0), unfused = FromState(evidence, change_cost, 1);
  return fused.score >= unfused.score ? fused.state : unfused.state;
}

}  // namespace vision::fusion
