#include "vision/pose/weld_profile.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "vision/base/median.h"

namespace vision::pose {
namespace {

/// The wall laid flat, rows along the bore, columns round it, cameras side by side; NaN where not seen.
struct Flat {
  cv::Mat1f light, tint;
};

Flat LaidFlat(const std::vector<WallView>& views, const Eigen::Vector2d& lean, const Eigen::Vector2d& offset,
              double radius_mm, const WeldProfileOptions& options) {
  const int rows = std::max(8, static_cast<int>((options.to_share - options.from_share) * radius_mm / options.step_mm));
  const int n = options.columns;
  Flat flat{cv::Mat1f(rows, n * static_cast<int>(views.size())), cv::Mat1f(rows, n * static_cast<int>(views.size()))};
  const RingAzimuths azimuths(n);
  const AxisBasis basis(lean);
  for (std::size_t v = 0; v < views.size(); ++v) {
    const WallSights sights(views[v], basis, offset, azimuths);
    const auto column = static_cast<std::ptrdiff_t>(v) * n;
    for (int i = 0; i < rows; ++i) {
      const auto along = static_cast<float>(options.from_share + i * options.step_mm / radius_mm);
      sights.Sample(along, flat.light[i] + column, flat.tint[i] + column);
    }
  }
  return flat;
}

/// One channel along the bore, its slow trend taken out, and the spread of what is left.
struct Channel {
  std::vector<double> level, sums;  ///< sums[i] = level[0] + ... + level[i - 1].
  double spread = 1;
  double Mean(int from, int to) const {
    from = std::clamp(from, 0, static_cast<int>(level.size()) - 1);
    to = std::clamp(to, from + 1, static_cast<int>(level.size()));
    return (sums[static_cast<std::size_t>(to)] - sums[static_cast<std::size_t>(from)]) / (to - from);
  }
};

Channel Finished(std::vector<double> level, const std::vector<char>& seen, double least,
                 const WeldProfileOptions& options) {
  Channel channel;
  const int trend = static_cast<int>(options.trend_mm / options.step_mm) | 1;
  const cv::Mat1d line(static_cast<int>(level.size()), 1, level.data());
  cv::Mat1d slow;
  cv::blur(line, slow, {1, trend}, {-1, -1}, cv::BORDER_REFLECT);
  std::vector<double> sizes;
  channel.sums.push_back(0);
  for (std::size_t i = 0; i < level.size(); ++i) {
    level[i] -= slow(static_cast<int>(i));
    channel.sums.push_back(channel.sums.back() + level[i]);
    if (seen[i]) sizes.push_back(std::abs(level[i]));
  }
  channel.spread = std::max(least, sizes.empty() ? 0.0 : 1.4826 * MedianInPlace(sizes));
  channel.level = std::move(level);
  return channel;
}

/// Put together from steps row to row of the azimuths seen in both: where the picture's edge lets azimuths in or out
/// there is no step. Steps are means about their middle, clipped, so that a hose or a glint is one voice.
std::vector<double> LevelOf(const cv::Mat1f& flat, double clip, const WeldProfileOptions& options) {
  std::vector<double> level(static_cast<std::size_t>(flat.rows), 0.0);
  std::vector<float> steps;
  for (int i = 1; i < flat.rows; ++i) {
    steps.clear();
    for (int j = 0; j < flat.cols; ++j)
      if (const float step = flat(i, j) - flat(i - 1, j); step == step) steps.push_back(step);
    double step = 0;
    if (static_cast<double>(steps.size()) > 0.2 * options.columns) {
      const double median = static_cast<double>(MedianInPlace(steps));
      for (const float value : steps) step += median + std::clamp(static_cast<double>(value) - median, -clip, clip);
      step /= static_cast<double>(steps.size());
    }
    level[static_cast<std::size_t>(i)] = level[static_cast<std::size_t>(i - 1)] + step;
  }
  return level;
}

/// ln of the middle size of what is finer than a few columns.
std::vector<double> TextureOf(const cv::Mat1f& light) {
  std::vector<double> texture(static_cast<std::size_t>(light.rows), 0.0);
  std::vector<float> sizes;
  double last = 0;
  for (int i = 0; i < light.rows; ++i) {
    sizes.clear();
    for (int j = 2; j + 2 < light.cols; j += 2)
      if (const float fine = light(i, j) - 0.5F * (light(i, j - 2) + light(i, j + 2)); fine == fine)
        sizes.push_back(std::abs(fine));
    if (sizes.size() > 40) last = std::log(static_cast<double>(MedianInPlace(sizes)) + 0.004);
    texture[static_cast<std::size_t>(i)] = last;
  }
  return texture;
}

struct Profile {
  Channel light, tint, texture;
  std::vector<char> seen;
};

Profile ProfileOf(const Flat& flat, const WeldProfileOptions& o) {
  Profile profile;
  for (int i = 0; i < flat.light.rows; ++i) {
    const float* row = flat.light[i];
    const auto count = std::count_if(row, row + flat.light.cols, [](float value) { return value == value; });
    profile.seen.push_back(static_cast<double>(count) > o.seen_share * o.columns);
  }
  profile.light = Finished(LevelOf(flat.light, 0.15, o), profile.seen, o.least_light, o);
  profile.tint = Finished(LevelOf(flat.tint, 0.05, o), profile.seen, o.least_tint, o);
  profile.texture = Finished(TextureOf(flat.light), profile.seen, o.least_texture, o);
  return profile;
}

/// By how much [from, to) differs from both its sides the same way.
double Block(const Channel& channel, int from, int to, int edge, int beside) {
  const double inside = channel.Mean(from + edge, to - edge), before = channel.Mean(from - beside, from - edge),
               after = channel.Mean(to + edge, to + beside);
  const double a = inside - before, b = inside - after;
  return a * b > 0 ? std::min(std::abs(a), std::abs(b)) : 0;
}

/// Bright on the flank that faces the camera, dark on the other.
double Flanks(const Channel& channel, int from, int to, int edge, int beside) {
  const int middle = (from + to) / 2;
  const double bright = channel.Mean(from + edge / 2, middle), dark = channel.Mean(middle, to - edge / 2);
  const double rise = bright - channel.Mean(from - beside, from - edge),
               back = channel.Mean(to + edge, to + beside) - dark;
  return std::max(0.0, std::min(rise, bright - dark)) + 0.5 * std::max(0.0, std::min(back, rise));
}

WeldSeen WeldAt(const Profile& profile, int from, int to, double radius_mm, const WeldProfileOptions& o,
                const StandRead* read) {
  const int edge = static_cast<int>(std::lround(o.edge_mm / o.step_mm)),
            beside = static_cast<int>(std::lround(o.beside_mm / o.step_mm));
  const auto share = [&o](double value, const Channel& channel) {
    return std::min(value / channel.spread, o.most_of_a_channel);
  };
  WeldSeen weld;
  weld.light =
      share(std::max(Block(profile.light, from, to, edge, beside), Flanks(profile.light, from, to, edge, beside)),
            profile.light);
  weld.tint = share(Block(profile.tint, from, to, edge, beside), profile.tint);
  weld.texture = share(Block(profile.texture, from, to, edge, beside), profile.texture);
  weld.light_jump = profile.light.Mean(to + edge, to + beside) - profile.light.Mean(from - beside, from - edge);
  weld.near_mm = o.from_share * radius_mm + from * o.step_mm;
  weld.far_mm = o.from_share * radius_mm + to * o.step_mm;
  if (read) weld.read = read->LnWeldAt(weld.middle_mm() / radius_mm);
  weld.odds = o.odds.base + o.odds.light * std::log1p(weld.light) + o.odds.tint * std::log1p(weld.tint) +
              o.odds.texture * std::log1p(weld.texture) + o.odds.light_jump * std::abs(weld.light_jump) +
              o.odds.ln_radius * std::log(radius_mm) + o.odds.read * weld.read;
  return weld;
}

}  // namespace

void ShareChances(std::vector<WeldSeen>* welds) {
  double all = 1;
  for (const WeldSeen& weld : *welds) all += std::exp(weld.odds);
  for (WeldSeen& weld : *welds) weld.chance = std::exp(weld.odds) / all;
}

std::vector<WeldSeen> FindWelds(const std::vector<WallView>& views, const Eigen::Vector2d& lean,
                                const Eigen::Vector2d& offset, double radius_mm, const WeldProfileOptions& o,
                                const StandRead* read) {
  const Profile profile = ProfileOf(LaidFlat(views, lean, offset, radius_mm, o), o);
  const auto rows = static_cast<int>(profile.seen.size());
  const int rim = static_cast<int>(1.5 / o.step_mm);
  const auto seen = [&](int i) { return i >= 0 && i < rows && profile.seen[static_cast<std::size_t>(i)]; };
  std::vector<WeldSeen> at_row;
  for (int from = rim; from < rows; ++from) {
    std::optional<WeldSeen> best;
    for (int width = static_cast<int>(o.least_width_mm / o.step_mm);
         width <= static_cast<int>(o.most_width_mm / o.step_mm); ++width) {
      if (!seen(from - rim) || !seen(from + width + rim)) continue;
      const WeldSeen weld = WeldAt(profile, from, from + width, radius_mm, o, read);
      if (!best || weld.odds > best->odds) best = weld;
    }
    if (best) at_row.push_back(*best);
  }
  std::sort(at_row.begin(), at_row.end(), [](const WeldSeen& a, const WeldSeen& b) { return a.odds > b.odds; });
  std::vector<WeldSeen> welds;
  for (const WeldSeen& weld : at_row) {
    if (std::all_of(welds.begin(), welds.end(), [&](const WeldSeen& other) {
          return std::abs(other.middle_mm() - weld.middle_mm()) > o.most_width_mm;
        }))
      welds.push_back(weld);
    if (welds.size() == 6) break;
  }
  ShareChances(&welds);
  return welds;
}

}  // namespace vision::pose
