#include "vision/arc/course.h"

#include <algorithm>
#include <cmath>

#include "vision/arc/course_parts.h"
#include "vision/base/median.h"
#include "vision/base/range.h"
#include "vision/bore/angle.h"

namespace vision::arc {
namespace {

struct Turned {
  Track track;  ///< mm along the inside surface, clockwise positive, not wrapped.
  double from_s = 0, to_s = 0;
  std::size_t first = 0;  ///< Sample.
};

/// A tenth of a second at a time: the middle value of about it, so that a drop of spatter does not count.
Turned TrackOf(const std::vector<Sample>& samples, const Span& span, double radius_mm, double near_deg,
               const CourseOptions& o) {
  Turned turned{{}, samples[span.first].time_s, samples[span.last].time_s, span.first};
  double at = near_deg;
  std::vector<double> deg(span.last - span.first + 1);
  for (std::size_t i = span.first; i <= span.last; ++i) {
    std::vector<double> about;
    for (std::size_t k = i > span.first + 2 ? i - 2 : span.first; k <= std::min(span.last, i + 2); ++k)
      about.push_back(bore::Wrap180(samples[k].theta_deg - at));
    at += Median(about);
    deg[i - span.first] = at;
  }
  std::size_t i = span.first;
  while (i <= span.last) {
    const double end = samples[i].time_s + o.bin_s - 1e-6;
    double t = 0, s = 0;
    int n = 0;
    for (; i <= span.last && samples[i].time_s < end; ++i, ++n)
      t += samples[i].time_s, s += bore::ArcMm(deg[i - span.first], radius_mm);
    turned.track.time_s.push_back(t / n);
    turned.track.along_mm.push_back(s / n);
  }
  return turned;
}

/// Of the tracks about straight lines over a second; the middle one over all, which stops do not change.
Scatter ScatterOf(const std::vector<Turned>& burns, const CourseOptions& options) {
  std::vector<double> rests;
  double step = options.bin_s;
  for (const auto& burn : burns) {
    const auto& t = burn.track.time_s;
    if (t.size() > 1) step = (t.back() - t.front()) / static_cast<double>(t.size() - 1);
    for (const double time : t) {
      if (time < t.front() + 0.5 || time > t.back() - 0.5) continue;
      rests.push_back(FitLine(burn.track, time, 1.0, {}).rest_mm);
    }
  }
  Scatter scatter;
  scatter.alike = std::max(1.0, options.wander_s / step);
  // a line takes up part of what wanders slowly: about a third of it over a second
  scatter.sigma_mm = std::max(0.05, rests.empty() ? 0.3 : 1.2 * Median(rests));
  return scatter;
}

/// The same stretches cut where the light leaps elsewhere: a glint that takes over when the arc is out.
std::vector<Span> CutAtLeaps(const std::vector<Sample>& samples, const std::vector<Span>& spans, double radius_mm,
                             const CourseOptions& o) {
  std::vector<Span> pieces;
  for (const Span& span : spans) {
    pieces.push_back(span);
    for (std::size_t i = span.first + 1; i <= span.last; ++i) {
      const double step_deg = bore::Wrap180(samples[i].theta_deg - samples[i - 1].theta_deg);
      if (std::abs(bore::ArcMm(step_deg, radius_mm)) < o.leap_mm) continue;
      pieces.back().last = i - 1;
      pieces.push_back({i, span.last});
    }
  }
  return pieces;
}

/// Not the light of a pool that travels: it scatters or races, or it stands longer than an arc could without burning
/// through (a glint of the bead).
bool IsNoPool(const Track& track, const CourseOptions& options) {
  std::vector<double> rests;
  double fast = 0;
  for (const double time : track.time_s) {
    const auto line = FitLine(track, time, 1.0, {});
    rests.push_back(line.rest_mm);
    fast += 60 * std::abs(line.speed_mm_s) > options.fastest_mm_min;
  }
  const auto count = static_cast<double>(rests.size());
  const auto upper = rests.begin() + static_cast<std::ptrdiff_t>(0.75 * (count - 1));
  std::nth_element(rests.begin(), upper, rests.end());
  const auto [least, most] = std::minmax_element(track.along_mm.begin(), track.along_mm.end());
  const double lasted_s = track.time_s.back() - track.time_s.front();
  return *upper > options.most_jumpy_mm || fast > 0.05 * count ||
         (lasted_s > options.stands_at_most_s && *most - *least < options.stands_mm);
}

double UsualSpeed(const std::vector<Turned>& burns, const CourseOptions& options) {
  std::vector<double> speeds;
  for (const auto& burn : burns)
    for (const double time : burn.track.time_s)
      speeds.push_back(std::abs(FitLine(burn.track, time, options.speed_window_s, {}).speed_mm_s));
  return Median(speeds);
}

/// Pieces that follow each other are told as one.
void AddUnsteady(const Turned& piece, Course* course, const CourseOptions& o) {
  if (!course->unsteady.empty() && piece.from_s - course->unsteady.back().to_s < o.shortest_piece_s)
    course->unsteady.back().to_s = piece.to_s;
  else
    course->unsteady.push_back({piece.from_s, piece.to_s});
}

/// Moments between which the torch did one thing: it stood, or it travelled.
struct Part {
  double from_s = 0, to_s = 0;
  bool stood = false;
};

std::vector<Part> PartsOf(const Burn& burn, const std::vector<Stop>& stops) {
  std::vector<Part> parts;
  double at = burn.from_s;
  const auto stand = [&](double from_s, double to_s) {
    if (from_s > at) parts.push_back({at, from_s, false});
    parts.push_back({from_s, to_s, true});
    at = to_s;
  };
  if (burn.stood_s > 0) stand(burn.from_s, burn.from_s + burn.stood_s);
  for (const Stop& stop : stops)
    if (stop.arc_on && stop.from_s >= at && stop.to_s <= burn.to_s) stand(stop.from_s, stop.to_s);
  parts.push_back({at, burn.to_s + 1e-6, false});
  return parts;
}

void AddMoments(const std::vector<Sample>& samples, const Span& span, const Turned& turned, double usual_mm_s,
                double radius_mm, const Scatter& scatter, const CourseOptions& options, Course* course) {
  const double way = course->clockwise ? 1 : -1;
  const auto parts = PartsOf(course->burns.back(), course->stops);
  std::size_t part = 0;
  for (std::size_t i = span.first; i <= span.last; ++i) {
    const double t = samples[i].time_s;
    while (part + 1 < parts.size() && t >= parts[part].to_s) ++part;
    const auto& now = parts[part];
    const auto slope = FitLine(turned.track, t, options.speed_window_s, scatter, now.from_s, now.to_s);
    const auto place = FitLine(turned.track, t, 0.5, scatter);
    Moment moment{t, samples[i].index, bore::kDegPerRad * place.along_mm / radius_mm};
    moment.speed_mm_min = now.stood ? 0 : std::max(0.0, 60 * way * slope.speed_mm_s);
    // Where the place does not run along a line the slope says less; of a few places it says nothing; and speed drifts
    // within its window: of twelve made-up films a fourteenth covered it.
    const double bent = std::max(1.0, slope.rest_mm / scatter.sigma_mm);
    const double slope_u = slope.speed_u_mm_s > 0 ? bent * slope.speed_u_mm_s : usual_mm_s;
    moment.speed_u_mm_min = 60 * std::hypot(slope_u, 0.07 * usual_mm_s);
    course->moments.push_back(moment);
  }
}

void AddBurn(const Turned& burn, const Scatter& scatter, const CourseOptions& options, double usual_mm_s,
             double radius_mm, double* farthest_mm, Course* course) {
  const double way = course->clockwise ? 1 : -1;
  Track along = burn.track;
  for (double& s : along.along_mm) s *= way;
  Burn told{burn.from_s, burn.to_s};
  told.stood_s = StoodAtStart(along, scatter, options);
  const double first = FitLine(along, along.time_s.front(), 0.6, scatter).along_mm;
  told.from_theta_deg = way * first / radius_mm * bore::kDegPerRad;
  told.to_theta_deg = way * FitLine(along, along.time_s.back(), 0.6, scatter).along_mm / radius_mm * bore::kDegPerRad;
  told.back_mm = course->burns.empty() ? 0 : *farthest_mm - first;
  if (!course->burns.empty()) {
    const auto& before = course->burns.back();
    double shone_s = 0;  // something that was no pool: the arc may have been on meanwhile
    for (const Burn& other : course->unsteady)
      shone_s += std::max(0.0, std::min(other.to_s, told.from_s) - std::max(other.from_s, before.to_s));
    const double off_s = told.from_s - before.to_s;
    if (shone_s < 0.5 * off_s && off_s >= options.shortest_stop_s - 0.5 * options.bin_s)
      course->stops.push_back({before.to_s, told.from_s, before.to_theta_deg, false});
  }
  for (const auto& stood : StandingsIn(along, scatter, usual_mm_s, options))
    if (stood.from_s > told.from_s + told.stood_s + 0.3)
      course->stops.push_back({stood.from_s, stood.to_s, way * stood.along_mm / radius_mm * bore::kDegPerRad, true});
  for (const double s : along.along_mm) *farthest_mm = std::max(*farthest_mm, s);
  course->burns.push_back(told);
}

void Sum(double radius_mm, const Scatter& scatter, const CourseOptions& options, double farthest_mm, Course* course) {
  const double way = course->clockwise ? 1 : -1;
  const double first_mm = way * bore::ArcMm(course->burns.front().from_theta_deg, radius_mm);
  course->scatter_mm = scatter.sigma_mm;
  course->swept_deg = (farthest_mm - first_mm) / radius_mm * bore::kDegPerRad;
  course->overlap_deg = std::max(0.0, course->swept_deg - 360);
  course->theta_u_deg =
      bore::kDegPerRad / radius_mm *
      std::hypot(options.place_u_mm, scatter.sigma_mm * std::sqrt(std::min(1.0, scatter.alike * options.bin_s / 0.5)));
  std::vector<double> speeds;
  for (const auto& m : course->moments) {
    const bool starts = std::any_of(course->burns.begin(), course->burns.end(), [&](const Burn& burn) {
      return m.time_s >= burn.from_s && m.time_s < burn.from_s + burn.stood_s + 0.3;
    });
    const bool stands = starts || std::any_of(course->stops.begin(), course->stops.end(), [&](const Stop& stop) {
                          return m.time_s > stop.from_s - 0.3 && m.time_s < stop.to_s + 0.3;
                        });
    if (!stands) speeds.push_back(m.speed_mm_min);
  }
  if (!speeds.empty()) {
    double sum = 0;
    for (const double v : speeds) sum += v;
    course->mean_speed_mm_min = sum / static_cast<double>(speeds.size());
  }
}

}  // namespace

Status CourseOptions::Check() const {
  for (const auto& broken : {burning.Check(), standing.Check()})
    if (broken) return broken;
  if (auto broken = FirstOutside("CourseOptions", {{"bin_s", bin_s, 0.01, 2},
                                                   {"shortest_piece_s", shortest_piece_s, 0, 10},
                                                   {"stands_mm", stands_mm, 0, 50},
                                                   {"stands_at_most_s", stands_at_most_s, 0, 60},
                                                   {"leap_mm", leap_mm, 0.5, 500}}))
    return broken;
  if (!(speed_window_s >= 0.3 && speed_window_s <= 10))
    return BadInput("CourseOptions::speed_window_s must be 0.3 to 10.");
  if (!(shortest_stop_s >= 0.5 && shortest_stop_s <= 10))
    return BadInput("CourseOptions::shortest_stop_s must be 0.5 to 10.");
  if (!(longest_stop_s > shortest_stop_s && longest_stop_s <= 60))
    return BadInput("CourseOptions::longest_stop_s must be above shortest_stop_s and at most 60.");
  if (!(off_below > 0 && off_below < 0.85)) return BadInput("CourseOptions::off_below must lie in (0, 0.85).");
  if (!(wander_s >= 0.05 && wander_s <= 5)) return BadInput("CourseOptions::wander_s must be 0.05 to 5.");
  if (!(fastest_mm_min > 0)) return BadInput("CourseOptions::fastest_mm_min must be above 0.");
  if (!(most_jumpy_mm > 0)) return BadInput("CourseOptions::most_jumpy_mm must be above 0.");
  if (!(place_u_mm >= 0)) return BadInput("CourseOptions::place_u_mm must be 0 or more.");
  return std::nullopt;
}

Result<Course> Tell(const std::vector<Sample>& samples, double radius_mm, const CourseOptions& options) {
  if (auto broken = options.Check()) return *broken;
  if (!(radius_mm > 0)) return BadInput("arc: the bore's radius must be above 0 mm.");
  const auto shining = SpansOn(samples, options);
  if (shining.empty()) return NotFound("no arc found: nothing on the root shines by itself for half a second.");
  const auto all = CutAtLeaps(samples, shining, radius_mm, options);
  std::vector<Turned> burns;
  std::vector<Span> spans;
  double near_deg = 0, turned_mm = 0;
  Course course;
  for (const auto& span : all) {
    Turned turned =
        TrackOf(samples, span, radius_mm, spans.empty() ? samples[span.first].theta_deg : near_deg, options);
    const bool too_short = turned.to_s - turned.from_s < options.shortest_piece_s;
    if (too_short || IsNoPool(turned.track, options)) {
      AddUnsteady(turned, &course, options);
      continue;
    }
    spans.push_back(span);
    burns.push_back(std::move(turned));
    near_deg = burns.back().track.along_mm.back() / radius_mm * bore::kDegPerRad;
    turned_mm += burns.back().track.along_mm.back() - burns.back().track.along_mm.front();
  }
  double steady_s = 0, unsteady_s = 0;
  for (const auto& burn : burns) steady_s += burn.to_s - burn.from_s;
  for (const auto& burn : course.unsteady) unsteady_s += burn.to_s - burn.from_s;
  if (unsteady_s >= steady_s)
    return NotFound(
        "where the arc stands is not measurable: what shines on the root does not travel as a pool does (spatter, "
        "glints, or a pool too dim beside them).");
  course.clockwise = turned_mm >= 0;
  const Scatter scatter = ScatterOf(burns, options);
  const double usual_mm_s = UsualSpeed(burns, options);
  double farthest_mm = (course.clockwise ? 1 : -1) * burns.front().track.along_mm.front();
  for (std::size_t i = 0; i < burns.size(); ++i) {
    AddBurn(burns[i], scatter, options, usual_mm_s, radius_mm, &farthest_mm, &course);
    AddMoments(samples, spans[i], burns[i], usual_mm_s, radius_mm, scatter, options, &course);
  }
  std::sort(course.stops.begin(), course.stops.end(), [](const Stop& a, const Stop& b) { return a.from_s < b.from_s; });
  Sum(radius_mm, scatter, options, farthest_mm, &course);
  return course;
}

double WeldedAt(const Course& course, double theta_deg) {
  double last = std::numeric_limits<double>::quiet_NaN();
  for (std::size_t i = 1; i < course.moments.size(); ++i) {
    const auto &a = course.moments[i - 1], &b = course.moments[i];
    if (b.time_s - a.time_s > 0.5) continue;  // between two burns
    const double to_a = bore::Wrap180(theta_deg - a.theta_deg), step = b.theta_deg - a.theta_deg;
    if (std::abs(to_a) > 90 || to_a * (to_a - step) > 0) continue;
    last = step == 0 ? a.time_s : a.time_s + (b.time_s - a.time_s) * to_a / step;
  }
  return last;
}

}  // namespace vision::arc
