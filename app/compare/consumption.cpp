#include "app/compare/consumption.h"

#include <algorithm>
#include <cctype>
#include <cmath>

#include "vision/bore/angle.h"

namespace app::compare {
namespace {

using vision::reading::Fusion;

EdgeFate FateOf(const std::vector<Fusion>& before, const std::vector<Fusion>& after,
                const std::vector<double>& toe_z_mm, const vision::match::RingMatch& match) {
  EdgeFate fate;
  if (before.empty() || after.empty()) return fate;
  const double step = 360.0 / static_cast<double>(before.size());
  for (std::size_t i = 0; i < before.size(); ++i) {
    if (before[i] != Fusion::kUnfused) continue;
    fate.seen_before_deg += step;
    double theta = 0, z = 0;
    match.MovingFromFixed(step * static_cast<double>(i), std::isfinite(toe_z_mm[i]) ? toe_z_mm[i] : 0, &theta, &z);
    const auto at =
        static_cast<std::size_t>(std::lround(theta / 360 * static_cast<double>(after.size()))) % after.size();
    (after[at] == Fusion::kFused     ? fate.gone_deg
     : after[at] == Fusion::kUnfused ? fate.still_visible_deg
                                     : fate.not_examined_deg) += step;
  }
  return fate;
}

}  // namespace

bool IsFitUp(const std::string& stage) {
  std::string plain;
  for (const char c : stage)
    if (std::isalpha(static_cast<unsigned char>(c))) plain += static_cast<char>(std::tolower(c));
  return plain == "fitup" || plain == "beforewelding";
}

std::optional<Consumption> ConsumptionOf(const vision::reading::Reading& before, const vision::reading::Reading& after,
                                         const vision::match::RingMatch& match) {
  if (!IsFitUp(before.stage) || IsFitUp(after.stage)) return std::nullopt;
  return Consumption{
      FateOf(before.profile.fusion_left, after.profile.fusion_left, before.profile.left_toe_z_mm, match),
      FateOf(before.profile.fusion_right, after.profile.fusion_right, before.profile.right_toe_z_mm, match)};
}

}  // namespace app::compare
