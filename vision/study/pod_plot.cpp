#include "vision/study/pod_plot.h"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "vision/base/range.h"
#include "vision/study/text.h"

namespace vision::study {
namespace {

std::string Escaped(const std::string& text) {
  std::string safe;
  for (const char c : text) safe += c == '&' ? "&amp;" : c == '<' ? "&lt;" : std::string(1, c);
  return safe;
}

/// 1, 2 or 5 times a power of ten, so that about six ticks fit in.
double TickStep(double extent) {
  const double rough = extent / 6, power = std::pow(10.0, std::floor(std::log10(rough)));
  for (const double factor : {1.0, 2.0, 5.0})
    if (rough <= factor * power) return factor * power;
  return 10 * power;
}

/// Data coordinates to picture coordinates.
struct Frame {
  double left = 62, right = 700, top = 44, bottom = 372;
  double size_to = 1;
  double X(double size) const { return left + (right - left) * size / size_to; }
  double Y(double p) const { return bottom + (top - bottom) * p; }
};

std::string Axes(const Frame& f, const PodPlotOptions& options) {
  std::string svg;
  for (int i = 0; i <= 10; i += 2)
    svg += Text("<path class='g' d='M%.1f %.1fH%.1f'/><text x='%.1f' y='%.1f' text-anchor='end'>%.1f</text>\n", f.left,
                f.Y(0.1 * i), f.right, f.left - 8, f.Y(0.1 * i) + 4, 0.1 * i);
  const double step = TickStep(f.size_to);
  for (double size = 0; size <= f.size_to + 1e-9; size += step)
    svg += Text("<path class='g' d='M%.1f %.1fV%.1f'/><text x='%.1f' y='%.1f' text-anchor='middle'>%g</text>\n",
                f.X(size), f.top, f.bottom, f.X(size), f.bottom + 18, size);
  svg += Text("<text x='%.1f' y='%.1f' text-anchor='middle'>%s</text>\n", 0.5 * (f.left + f.right), f.bottom + 38,
              Escaped(options.size_label).c_str());
  svg += Text("<text transform='translate(16 %.1f) rotate(-90)' text-anchor='middle'>probability of detection</text>\n",
              0.5 * (f.top + f.bottom));
  return svg;
}

std::string Curve(const Frame& f, const PodFit& fit) {
  std::string path = "<path class='c' d='";
  for (int i = 1; i <= 240; ++i) {
    const double size = f.size_to * i / 240;
    path += Text("%c%.1f %.1f", i == 1 ? 'M' : 'L', f.X(size), f.Y(fit.Probability(size)));
  }
  return path + "'/>\n";
}

/// The bound of every probability, laid side by side, is the curve's lower confidence bound.
template <class Bound>
std::string LowerCurve(const Frame& f, const char* style, Bound bound) {
  std::string path;
  for (int i = 1; i < 50; ++i) {
    const double p = 0.02 * i;
    const auto size = bound(p);
    if (size && *size <= f.size_to && *size >= 0)
      path += Text("%c%.1f %.1f", path.empty() ? 'M' : 'L', f.X(*size), f.Y(p));
  }
  return path.empty() ? "" : Text("<path class='%s' d='", style) + path + "'/>\n";
}

std::string Ticks(const Frame& f, const std::vector<Target>& targets) {
  std::string path = "<path class='t' d='";
  for (const auto& target : targets)
    path += Text("M%.1f %.1fv%d", f.X(target.size), target.hit ? f.top - 1 : f.bottom + 1, target.hit ? -7 : 7);
  return path + "'/>\n";
}

std::string Legend(const Frame& f, const PodFit& fit) {
  const auto& o = fit.options;
  const auto size = [](const std::optional<double>& value) { return value ? Text("%.3g", *value) : "none"; };
  std::vector<std::string> lines{
      Text("%d targets, %d found; %s size", fit.targets, fit.hits, NameOf(o.scale).c_str()),
      Text("a50 %.3g, a%.0f %.3g", fit.a50, 100 * o.detection, fit.ap),
      Text("a%.0f/%.0f: %s (likelihood ratio, drawn through)", 100 * o.detection, 100 * o.confidence,
           size(fit.ap_ratio).c_str()),
      Text("a%.0f/%.0f: %s (Wald, broken)", 100 * o.detection, 100 * o.confidence, size(fit.ap_wald).c_str())};
  std::string svg;
  for (std::size_t i = 0; i < lines.size(); ++i)
    svg += Text("<text x='%.1f' y='%.1f' text-anchor='end'>%s</text>\n", f.right - 10,
                f.bottom - 16.0 - 17.0 * static_cast<double>(lines.size() - 1 - i), lines[i].c_str());
  return svg;
}

}  // namespace

Status PodPlotOptions::Check() const {
  return FirstOutside("PodPlotOptions", {{"width_px", width_px, 200, 10000}, {"height_px", height_px, 200, 10000}});
}

std::string PodSvg(const std::vector<Target>& targets, const PodFit& fit, const PodPlotOptions& options) {
  assert(!options.Check());
  Frame f;
  f.right = options.width_px - 20;
  f.bottom = options.height_px - 68;
  f.size_to = 0;
  for (const auto& target : targets) f.size_to = std::max(f.size_to, 1.04 * target.size);
  if (!(f.size_to > 0)) f.size_to = 1;
  std::string svg = Text(
      "<svg xmlns='http://www.w3.org/2000/svg' width='%d' height='%d' viewBox='0 0 %d %d'>\n"
      "<style>text{font:13px sans-serif;fill:#222}.g{stroke:#ddd}.c{stroke:#111;stroke-width:2.4;fill:none}"
      ".r{stroke:#555;stroke-width:1.4;fill:none}.w{stroke:#555;stroke-width:1.4;fill:none;stroke-dasharray:5 4}"
      ".t{stroke:#111;stroke-opacity:.55}</style>\n<rect width='100%%' height='100%%' fill='#fff'/>\n",
      options.width_px, options.height_px, options.width_px, options.height_px);
  svg += Text("<text x='%.1f' y='24' font-weight='bold'>", f.left) + Escaped(options.title) + "</text>\n";
  svg += Axes(f, options) + Curve(f, fit) + LowerCurve(f, "r", [&](double p) { return RatioBound(targets, fit, p); }) +
         LowerCurve(f, "w", [&](double p) { return WaldBound(fit, p); }) + Ticks(f, targets) + Legend(f, fit);
  return svg + "</svg>\n";
}

std::string PodCsv(const std::vector<Target>& targets, const PodFit& fit) {
  std::string csv = "detection,size,bound_likelihood_ratio,bound_wald\n";
  const auto cell = [](const std::optional<double>& size) { return size ? Text("%.9g", *size) : ""; };
  for (int i = 1; i < 100; ++i) {
    const double p = 0.01 * i;
    const double s = (std::log(p / (1 - p)) - fit.b0) / fit.b1;
    const double size = fit.options.scale == SizeScale::kLog ? std::exp(s) : s;
    csv += Text("%.2f,%.9g,", p, size) + cell(RatioBound(targets, fit, p)) + "," + cell(WaldBound(fit, p)) + "\n";
  }
  return csv;
}

}  // namespace vision::study
