#include "vision/scan/sort.h"

#include <algorithm>
#include <cmath>

#include "vision/base/number.h"
#include "vision/base/range.h"

namespace vision::scan {
namespace {

struct Classed {
  FrameLook look;
  Shows shows = Shows::kTravelling;
};

double UsualBlur(const std::vector<FrameLook>& looks, const SortOptions& options) {
  std::vector<double> blur;
  for (const auto& look : looks)
    if (look.bright >= options.dark_below && std::isfinite(look.blur_px)) blur.push_back(look.blur_px);
  if (blur.empty()) return 0;
  const auto quarter = blur.begin() + static_cast<std::ptrdiff_t>(blur.size() / 4);
  std::nth_element(blur.begin(), quarter, blur.end());
  return *quarter;
}

/// What each frame shows by itself. Between frames in which the weld was looked for, the last answer stands.
std::vector<Classed> ClassEach(const std::vector<FrameLook>& looks, double blurred_above, const SortOptions& o) {
  std::vector<Classed> classed;
  Shows last = Shows::kTravelling;
  for (const auto& look : looks) {
    if (look.weld)
      last = WeldSeen(*look.weld, o.cue) ? Shows::kAtWeld : look.weld->bore ? Shows::kTravelling : Shows::kNotABore;
    Shows shows = last;
    if (ArcOn(look, o))
      shows = Shows::kWelding;
    else if (look.bright < o.dark_below)
      shows = Shows::kDark;
    else if (!(look.blur_px <= blurred_above))
      shows = Shows::kBlurred;
    classed.push_back({look, shows});
  }
  return classed;
}

/// How long a frame stands for: until the next one, but no longer than twice the usual step.
double StepOf(const std::vector<Classed>& frames) {
  std::vector<double> steps;
  for (std::size_t i = 1; i < frames.size(); ++i) steps.push_back(frames[i].look.time_s - frames[i - 1].look.time_s);
  if (steps.empty()) return 0.1;
  std::nth_element(steps.begin(), steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2), steps.end());
  return steps[steps.size() / 2];
}

/// Runs of one class; a run shorter than `settle_s` takes its longer neighbour's class, shortest first.
std::vector<Stretch> Runs(const std::vector<Classed>& frames, double settle_s) {
  std::vector<Stretch> runs;
  const double step = StepOf(frames);
  for (const auto& [look, shows] : frames) {
    if (!runs.empty() && runs.back().shows == shows && look.time_s - runs.back().to_s < 2 * step + settle_s)
      runs.back().to_s = look.time_s + step;
    else {
      if (!runs.empty() && look.time_s - runs.back().to_s < 2 * step) runs.back().to_s = look.time_s;
      runs.push_back({look.time_s, look.time_s + step, shows, ""});
    }
  }
  while (runs.size() > 1) {
    const auto length = [](const Stretch& s) { return s.to_s - s.from_s; };
    const auto shortest = std::min_element(runs.begin(), runs.end(),
                                           [&](const Stretch& a, const Stretch& b) { return length(a) < length(b); });
    if (length(*shortest) >= settle_s) break;
    const bool has_before = shortest != runs.begin(), has_after = shortest + 1 != runs.end();
    const bool before = has_before && (!has_after || length(*(shortest - 1)) >= length(*(shortest + 1)));
    shortest->shows = before ? (shortest - 1)->shows : (shortest + 1)->shows;
    std::vector<Stretch> joined;
    for (const auto& run : runs)
      if (!joined.empty() && joined.back().shows == run.shows)
        joined.back().to_s = run.to_s;
      else
        joined.push_back(run);
    runs = std::move(joined);
  }
  return runs;
}

/// Damage cuts into what lies under it.
std::vector<Stretch> WithDamage(const std::vector<Stretch>& runs, const std::vector<recording::Damage>& damage) {
  std::vector<Stretch> all = runs;
  for (const auto& bad : damage) {
    std::vector<Stretch> cut;
    for (const auto& run : all) {
      if (run.to_s <= bad.from_s || run.from_s >= bad.to_s) {
        cut.push_back(run);
        continue;
      }
      if (run.from_s < bad.from_s) cut.push_back({run.from_s, bad.from_s, run.shows, run.note});
      if (run.to_s > bad.to_s) cut.push_back({bad.to_s, run.to_s, run.shows, run.note});
    }
    cut.push_back({bad.from_s, bad.to_s, Shows::kDamaged,
                   bad.what + (bad.frames ? " (" + std::to_string(bad.frames) + " frames)" : "")});
    std::sort(cut.begin(), cut.end(), [](const Stretch& a, const Stretch& b) { return a.from_s < b.from_s; });
    all = std::move(cut);
  }
  return all;
}

/// Looks at a weld: stretches at a weld or welding, what lies between them shorter than `same_weld_s`.
std::vector<WeldFound> WeldsOf(const std::vector<Stretch>& stretches, const SortOptions& o) {
  std::vector<WeldFound> welds;
  double travelled = 0;  // since the last look: dark, blurred and damaged stretches do not part two looks
  for (const auto& stretch : stretches) {
    const bool look = stretch.shows == Shows::kAtWeld || stretch.shows == Shows::kWelding;
    if (!look) {
      if (stretch.shows == Shows::kTravelling || stretch.shows == Shows::kNotABore)
        travelled += stretch.to_s - stretch.from_s;
      continue;
    }
    if (welds.empty() || travelled > o.same_weld_s) welds.emplace_back().from_s = stretch.from_s;
    welds.back().to_s = stretch.to_s;
    welds.back().arc_seen = welds.back().arc_seen || stretch.shows == Shows::kWelding;
    travelled = 0;
  }
  return welds;
}

bool ShowsNothing(const Stretch& s) {
  return s.shows == Shows::kDark || s.shows == Shows::kBlurred || s.shows == Shows::kDamaged;
}

/// A look begins and ends with what shows nothing right beside it: it may have shown the weld, and is refused for that.
void WithAdjoining(std::vector<WeldFound>& welds, const std::vector<Stretch>& stretches, const SortOptions& o) {
  for (auto& weld : welds) {
    double before = 0, after = 0;
    for (auto s = stretches.rbegin(); s != stretches.rend(); ++s)
      if (ShowsNothing(*s) && std::abs(s->to_s - weld.from_s) < o.touch_s &&
          (before += s->to_s - s->from_s) <= o.adjoining_s)
        weld.from_s = s->from_s;
    for (const auto& s : stretches)
      if (ShowsNothing(s) && std::abs(s.from_s - weld.to_s) < o.touch_s &&
          (after += s.to_s - s.from_s) <= o.adjoining_s)
        weld.to_s = s.to_s;
  }
}

/// Of the weld and what lies beside it where the cue tells; the rest of the wall may be as bright as it likes.
double GlareOf(const FrameLook& look, const WeldCue* cue) { return cue && cue->glare >= 0 ? cue->glare : look.glare; }

/// Why a frame is not good to measure by.
WhyNotProposed WhyNot(const Classed& frame, const WeldCue* cue, bool calibrated, const SortOptions& o) {
  if (frame.shows == Shows::kDamaged) return {NotProposed::kDamaged};
  if (frame.shows == Shows::kDark) return {NotProposed::kDark};
  if (frame.shows == Shows::kWelding) return {NotProposed::kArcOn};
  if (frame.shows == Shows::kBlurred) return {NotProposed::kBlurred};
  if (frame.shows != Shows::kAtWeld) return {NotProposed::kNoWeld};
  if (GlareOf(frame.look, cue) > o.most_glare)
    return {cue && cue->glare >= 0 ? NotProposed::kGlareOnWeld : NotProposed::kGlareOnWall, 100 * o.most_glare};
  if (calibrated && cue && cue->distance_radii > o.farthest_radii) return {NotProposed::kTooFar, o.farthest_radii};
  if (calibrated && cue && cue->distance_radii < o.nearest_radii) return {NotProposed::kTooNear, o.nearest_radii};
  return {};
}

/// The looks of one weld with the reason why not, in order; the cue is the last one looked for.
struct Judged {
  const Classed* frame;
  const WeldCue* cue;
  WhyNotProposed why;
};

std::vector<Judged> JudgeFrames(const WeldFound& weld, const std::vector<Classed>& frames,
                                const std::vector<Stretch>& stretches, bool calibrated, const SortOptions& o) {
  std::vector<Judged> judged;
  const WeldCue* cue = nullptr;
  for (const auto& frame : frames) {
    if (frame.look.weld) cue = &*frame.look.weld;
    if (frame.look.time_s < weld.from_s || frame.look.time_s >= weld.to_s) continue;
    Classed settled = frame;
    for (const auto& stretch : stretches)
      if (frame.look.time_s >= stretch.from_s && frame.look.time_s < stretch.to_s && frame.shows != Shows::kBlurred)
        settled.shows = stretch.shows == Shows::kBlurred ? frame.shows : stretch.shows;
    judged.push_back({&frame, cue, WhyNot(settled, cue, calibrated, o)});
  }
  return judged;
}

/// Less is better: blur counts in full, glare and distance as what they cost in sharpness.
double Cost(const Judged& j, bool calibrated) {
  const double far = calibrated && j.cue ? std::abs(j.cue->distance_radii - 0.8) : 0;
  return j.frame->look.blur_px * (1 + far) * (1 + 5 * GlareOf(j.frame->look, j.cue));
}

void Propose(WeldFound& weld, const std::vector<Judged>& run, bool calibrated, const SortOptions& o, double& best) {
  for (std::size_t from = 0; from < run.size(); ++from) {
    double sum = 0;
    std::size_t to = from, sharpest = from;
    for (; to < run.size() && run[to].frame->look.time_s - run[from].frame->look.time_s <= o.longest_s; ++to) {
      sum += Cost(run[to], calibrated);
      if (run[to].frame->look.blur_px < run[sharpest].frame->look.blur_px) sharpest = to;
    }
    const double length = run[to - 1].frame->look.time_s - run[from].frame->look.time_s;
    const double cost = sum / static_cast<double>(to - from) / std::sqrt(std::max(length, 1e-3));
    if (length < o.shortest_s || cost >= best) continue;
    best = cost;
    weld.proposed = true;
    weld.best_from_s = run[from].frame->look.time_s;
    weld.best_to_s = run[to - 1].frame->look.time_s;
    weld.best_first_index = run[from].frame->look.index;
    weld.best_last_index = run[to - 1].frame->look.index;
    const auto& look = run[sharpest].frame->look;
    weld.sharpest_index = look.index;
    weld.sharpest_s = look.time_s;
    weld.blur_px = look.blur_px;
    weld.glare = look.glare;
    weld.distance_radii = run[sharpest].cue ? run[sharpest].cue->distance_radii : 0;
  }
}

/// Cuts the looks into runs of one reason; runs without a reason compete, the others are refused with theirs.
void JudgeWeld(WeldFound& weld, const std::vector<Judged>& judged, bool calibrated, const SortOptions& o) {
  double best = INFINITY;
  std::vector<std::pair<double, double>> others;
  for (std::size_t from = 0; from < judged.size();) {
    std::size_t to = from;
    while (to < judged.size() && judged[to].why == judged[from].why) ++to;
    const double begin = judged[from].frame->look.time_s,
                 end = to < judged.size() ? judged[to].frame->look.time_s : weld.to_s;
    if (judged[from].why.code != NotProposed::kUsable) {
      weld.refused.push_back({begin, end, judged[from].why});
    } else {
      Propose(weld,
              {judged.begin() + static_cast<std::ptrdiff_t>(from), judged.begin() + static_cast<std::ptrdiff_t>(to)},
              calibrated, o, best);
      others.emplace_back(begin, end);
    }
    from = to;
  }
  for (const auto& [begin, end] : others) {
    if (weld.proposed && begin <= weld.best_from_s && end >= weld.best_to_s) continue;
    weld.refused.push_back({begin, end,
                            end - begin < o.shortest_s ? WhyNotProposed{NotProposed::kTooShort, o.shortest_s}
                                                       : WhyNotProposed{NotProposed::kOtherBetter}});
  }
  std::sort(weld.refused.begin(), weld.refused.end(),
            [](const Refused& a, const Refused& b) { return a.from_s < b.from_s; });
}

}  // namespace

bool ArcOn(const FrameLook& look, const SortOptions& o) {
  if (look.spot >= o.arc_spot && look.one_sided >= o.arc_one_sided) return true;
  return look.middle <= o.arc_dark && look.peak >= o.arc_peak && look.peak >= o.arc_spot * look.middle &&
         look.peak >= o.arc_over_rest * look.bright && look.peak_off >= o.arc_off_middle;
}

std::string SentenceOf(const WhyNotProposed& why) {
  switch (why.code) {
    case NotProposed::kUsable:
      return "";
    case NotProposed::kDamaged:
      return NameOf(Shows::kDamaged);
    case NotProposed::kDark:
      return NameOf(Shows::kDark);
    case NotProposed::kArcOn:
      return "the arc is on";
    case NotProposed::kBlurred:
      return NameOf(Shows::kBlurred);
    case NotProposed::kNoWeld:
      return "no weld in sight";
    case NotProposed::kGlareOnWeld:
      return "glare over more than " + NumberText(why.limit, "%.0f") + " % of the weld";
    case NotProposed::kGlareOnWall:
      return "glare over more than " + NumberText(why.limit, "%.0f") + " % of the wall";
    case NotProposed::kTooFar:
      return "too far: more than " + NumberText(why.limit, "%.1f") + " bore radii from the weld";
    case NotProposed::kTooNear:
      return "too near: less than " + NumberText(why.limit, "%.1f") + " bore radii from the weld";
    case NotProposed::kTooShort:
      return "shorter than " + NumberText(why.limit, "%.1f") + " s";
    case NotProposed::kOtherBetter:
      break;
  }
  return "usable, but less sharp or farther than the one proposed";
}

std::string NameOf(Shows shows) {
  switch (shows) {
    case Shows::kTravelling:
      return "travelling";
    case Shows::kAtWeld:
      return "at a weld";
    case Shows::kWelding:
      return "welding";
    case Shows::kDark:
      return "lights off";
    case Shows::kBlurred:
      return "blurred";
    case Shows::kNotABore:
      return "not a view along a bore";
    case Shows::kDamaged:
      break;
  }
  return "damaged";
}

Status SortOptions::Check() const {
  if (auto broken = cue.Check()) return broken;
  if (auto broken = FirstOutside("SortOptions", {{"touch_s", touch_s, 0, 60}})) return broken;
  if (!(dark_below > 0 && dark_below < 1)) return BadInput("SortOptions::dark_below must be between 0 and 1.");
  if (!(arc_spot > 1)) return BadInput("SortOptions::arc_spot must be above 1.");
  if (!(arc_one_sided > 1)) return BadInput("SortOptions::arc_one_sided must be above 1.");
  if (!(arc_peak > 0 && arc_peak <= 1)) return BadInput("SortOptions::arc_peak must be above 0 and at most 1.");
  if (!(arc_over_rest > 1)) return BadInput("SortOptions::arc_over_rest must be above 1.");
  if (!(arc_dark > 0 && arc_dark < 1)) return BadInput("SortOptions::arc_dark must be between 0 and 1.");
  if (!(arc_off_middle >= 0)) return BadInput("SortOptions::arc_off_middle must be 0 or more.");
  if (!(adjoining_s >= 0)) return BadInput("SortOptions::adjoining_s must be 0 s or more.");
  if (!(blurred_above_px >= 0)) return BadInput("SortOptions::blurred_above_px must be 0 px or more.");
  if (!(blurred_times > 1)) return BadInput("SortOptions::blurred_times must be above 1.");
  if (!(settle_s >= 0)) return BadInput("SortOptions::settle_s must be 0 s or more.");
  if (!(same_weld_s >= 0)) return BadInput("SortOptions::same_weld_s must be 0 s or more.");
  if (!(shortest_s > 0)) return BadInput("SortOptions::shortest_s must be above 0 s.");
  if (!(longest_s > shortest_s)) return BadInput("SortOptions::longest_s must be above shortest_s.");
  if (!(most_glare > 0 && most_glare <= 1)) return BadInput("SortOptions::most_glare must be above 0 and at most 1.");
  if (!(nearest_radii >= 0 && nearest_radii < farthest_radii))
    return BadInput("SortOptions::nearest_radii must be 0 or more and below farthest_radii.");
  return std::nullopt;
}

Sorted Sort(const std::vector<FrameLook>& looks, const std::vector<recording::Damage>& damage, double reduce,
            bool calibrated, const SortOptions& options) {
  Sorted sorted;
  sorted.usual_blur_px = UsualBlur(looks, options);
  // Wall without a weld is softer than a bead's edge at the same focus: below 1.25 px of the reduced picture blur is
  // not told from that.
  sorted.blurred_above_px = options.blurred_above_px > 0
                                ? options.blurred_above_px
                                : std::max(options.blurred_times * sorted.usual_blur_px, 1.25 * reduce);
  const auto frames = ClassEach(looks, sorted.blurred_above_px, options);
  sorted.stretches = WithDamage(Runs(frames, options.settle_s), damage);
  sorted.welds = WeldsOf(sorted.stretches, options);
  WithAdjoining(sorted.welds, sorted.stretches, options);
  for (auto& weld : sorted.welds)
    JudgeWeld(weld, JudgeFrames(weld, frames, sorted.stretches, calibrated, options), calibrated, options);
  return sorted;
}

}  // namespace vision::scan
