#include "vision/study/repeat.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

namespace vision::study {
namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();

double MedianOf(std::vector<double> values, double at = 0.5) {
  if (values.empty()) return kNaN;
  const auto k = static_cast<std::ptrdiff_t>(
      std::min<double>(std::floor(at * static_cast<double>(values.size())), static_cast<double>(values.size() - 1)));
  std::nth_element(values.begin(), values.begin() + k, values.end());
  return values[static_cast<std::size_t>(k)];
}

std::vector<double> Turned(const std::vector<double>& values, std::size_t steps) {
  std::vector<double> turned(values.size());
  for (std::size_t i = 0; i < values.size(); ++i) turned[i] = values[(i + steps) % values.size()];
  return turned;
}

/// Sums of products where both are known.
struct Products {
  double n = 0, a = 0, b = 0, aa = 0, bb = 0, ab = 0;
  void Take(double x, double y) { n += 1, a += x, b += y, aa += x * x, bb += y * y, ab += x * y; }
  double Correlation() const {
    const double va = aa - a * a / n, vb = bb - b * b / n;
    return n > 20 && va > 0 && vb > 0 ? (ab - a * b / n) / std::sqrt(va * vb) : 0;
  }
};

double LikenessAt(const RepeatedReading& first, const RepeatedReading& other, std::size_t steps) {
  double sum = 0, weight = 0;
  for (std::size_t q = 0; q < first.traces.size(); ++q) {
    const auto &a = first.traces[q].value, &b = other.traces[q].value;
    Products products;
    for (std::size_t i = 0; i < a.size(); ++i)
      if (const double y = b[(i + steps) % b.size()]; std::isfinite(a[i]) && std::isfinite(y)) products.Take(a[i], y);
    sum += products.n * products.Correlation();
    weight += products.n;
  }
  return weight > 0 ? sum / weight : 0;
}

Alignment Align(const RepeatedReading& first, const RepeatedReading& other, const RepeatOptions& options) {
  const auto lines = static_cast<int>(first.traces.front().value.size());
  const bool relative = first.relative_angles || other.relative_angles;
  const double step_deg = 360.0 / lines;
  const int reach = relative ? lines / 2 : static_cast<int>(std::lround(options.align_within_deg / step_deg));
  Alignment best{0, -1, false};
  for (int k = -reach; k <= (relative ? reach - 1 : reach); ++k) {
    const double likeness = LikenessAt(first, other, static_cast<std::size_t>((k + lines) % lines));
    if (likeness > best.likeness) best = {k * step_deg, likeness, true};
  }
  if (best.likeness >= options.least_likeness) return best;
  return {0, best.likeness, false};
}

Status Alike(const std::vector<RepeatedReading>& readings) {
  if (readings.size() < 2)
    return BadInput("Repeatability needs at least 2 readings of the same joint; " + std::to_string(readings.size()) +
                    " was given.");
  const auto& first = readings.front();
  for (const auto& reading : readings) {
    if (reading.quantities != first.quantities || reading.traces.size() != first.quantities.size())
      return BadInput(reading.name + " holds other quantities than " + first.name + ".");
    for (const auto& trace : reading.traces)
      if (trace.value.size() != first.traces.front().value.size() || trace.value.size() < 8 ||
          trace.u.size() != trace.value.size())
        return BadInput(reading.name + " has another number of half-degree lines than " + first.name + ".");
  }
  return std::nullopt;
}

/// Readings of each operator, in the order they came.
using ByOperator = std::map<std::string, std::vector<const Trace*>>;

ByOperator Sorted(const std::vector<RepeatedReading>& readings, std::size_t quantity) {
  ByOperator sorted;
  for (const auto& reading : readings) sorted[reading.operator_name].push_back(&reading.traces[quantity]);
  return sorted;
}

void SpreadOfLines(const ByOperator& operators, std::size_t lines, Repeatability* r) {
  double squares = 0, freedom = 0;
  std::vector<double> known, stated;
  for (std::size_t i = 0; i < lines; ++i) {
    double line_squares = 0, line_freedom = 0, sum = 0, count = 0;
    for (const auto& [name, traces] : operators) {
      double n = 0, a = 0, aa = 0;
      for (const Trace* trace : traces) {
        if (!std::isfinite(trace->value[i])) continue;
        n += 1, a += trace->value[i], aa += trace->value[i] * trace->value[i];
        if (std::isfinite(trace->u[i])) stated.push_back(trace->u[i]);
      }
      if (n > 1) line_squares += std::max(0.0, aa - a * a / n), line_freedom += n - 1;
      sum += a, count += n;
    }
    r->mean.push_back(count > 0 ? sum / count : kNaN);
    r->s.push_back(line_freedom > 0 ? std::sqrt(line_squares / line_freedom) : kNaN);
    if (line_freedom > 0) known.push_back(r->s.back());
    squares += line_squares, freedom += line_freedom;
  }
  r->lines = static_cast<int>(known.size());
  r->pooled = freedom > 0 ? std::sqrt(squares / freedom) : kNaN;
  r->median = MedianOf(known);
  r->p95 = MedianOf(known, 0.95);
  r->stated_u = MedianOf(stated);
}

/// Station lines as parts: those where every reading that is used has the quantity.
void StudyLines(const ByOperator& operators, const RepeatOptions& options, Repeatability* r) {
  std::size_t trials = std::numeric_limits<std::size_t>::max();
  for (const auto& [name, traces] : operators) trials = std::min(trials, traces.size());
  if (operators.size() < 2 || trials < 2) {
    r->notes.push_back("No gauge study: it needs two or more operators with two or more readings each.");
    return;
  }
  std::vector<GaugeValue> values;
  int parts = 0;
  for (int part = 0; part < options.parts; ++part) {
    const std::size_t line = r->s.size() * static_cast<std::size_t>(part) / static_cast<std::size_t>(options.parts);
    std::vector<GaugeValue> here;
    for (const auto& [name, traces] : operators)
      for (std::size_t k = 0; k < trials; ++k)
        if (std::isfinite(traces[k]->value[line])) here.push_back({std::to_string(part), name, traces[k]->value[line]});
    if (here.size() != operators.size() * trials) continue;
    values.insert(values.end(), here.begin(), here.end());
    ++parts;
  }
  if (parts < options.parts)
    r->notes.push_back(std::to_string(options.parts - parts) + " of " + std::to_string(options.parts) +
                       " half-degree lines were left out: not measured in every reading.");
  auto study = Arrange(values, r->quantity);
  if (study.ok())
    r->study.push_back(StudyGauge(study.value()));
  else
    r->notes.push_back("No gauge study: " + study.error().message);
}

}  // namespace

Status RepeatOptions::Check() const {
  if (!(align_within_deg >= 0 && align_within_deg <= 180))
    return BadInput("RepeatOptions::align_within_deg must be 0 to 180.");
  if (!(least_likeness > 0 && least_likeness < 1)) return BadInput("RepeatOptions::least_likeness must be in (0, 1).");
  if (parts < 2 || parts > 360) return BadInput("RepeatOptions::parts must be 2 to 360.");
  return std::nullopt;
}

double Repeatability::Expanded() const {
  const double spread = study.empty() ? pooled : std::max(pooled, study.front().Quoted().gauge);
  return 2 * (std::isfinite(stated_u) ? std::max(spread, stated_u) : spread);
}

Result<RepeatReport> StudyRepeats(std::vector<RepeatedReading> readings, const RepeatOptions& options) {
  if (auto broken = options.Check()) return *broken;
  if (auto broken = Alike(readings)) return *broken;
  RepeatReport report;
  const std::size_t lines = readings.front().traces.front().value.size();
  for (std::size_t i = 0; i < readings.size(); ++i) {
    report.alignments.push_back(i == 0 ? Alignment{0, 1, true} : Align(readings.front(), readings[i], options));
    const auto& alignment = report.alignments.back();
    if (!alignment.used && (readings.front().relative_angles || readings[i].relative_angles))
      return BadInput(readings[i].name + " could not be laid on " + readings.front().name +
                      ": angles are relative and the shapes are too little alike to tell the turn between them; give "
                      "up_theta_deg.");
    const auto steps = static_cast<std::size_t>(
        std::lround(alignment.shift_deg / 360 * static_cast<double>(lines) + static_cast<double>(lines)));
    if (i > 0)
      for (auto& trace : readings[i].traces) trace.value = Turned(trace.value, steps), trace.u = Turned(trace.u, steps);
  }
  for (std::size_t q = 0; q < readings.front().quantities.size(); ++q) {
    Repeatability r;
    r.quantity = readings.front().quantities[q];
    const auto operators = Sorted(readings, q);
    SpreadOfLines(operators, lines, &r);
    if (r.lines == 0) continue;  // nowhere measured twice
    StudyLines(operators, options, &r);
    report.quantities.push_back(std::move(r));
  }
  return report;
}

}  // namespace vision::study
