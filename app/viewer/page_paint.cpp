#include "app/viewer/page_paint.h"

#include <cmath>
#include <functional>

#include "app/report/text.h"
#include "app/viewer/page_paint_parts.h"
#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

constexpr int kEdge = 9;     ///< Height of a fusion band.
constexpr int kRibbon = 40;  ///< Height of a ribbon.
constexpr int kThin = 13;    ///< Height of a ribbon that holds only its reason.
constexpr int kRuler = 17;

using Add = std::function<void(double step, double unit_deg, const std::function<QString(double)>& label)>;

void AddStations(const LinePaint& p, double to_deg, double from_deg, std::vector<RulerMark>& marks) {
  const auto& belt = *p.desk.opened().belt;
  const double px_per_mm = p.layout.total_px() / belt.length_mm;
  double step = 0;
  for (double one : {1.0, 5.0, 10.0, 25.0})
    if (one < belt.spacing_mm && one * px_per_mm >= 60) {
      step = one;
      break;
    }
  for (const auto& station : StationsOf(belt, step))
    for (double theta = station.theta_deg; theta < to_deg; theta += 360)
      if (theta >= from_deg)
        marks.push_back({theta, station.beyond_mm > 0 ? QString("%1+%2").arg(station.number).arg(station.beyond_mm)
                                                      : PageView::tr("No. %1").arg(station.number)});
}

void AddMillimetres(const LinePaint& p, double px_per_deg, bool relative, const Add& add) {
  const auto& joint = p.desk.opened().joint;
  const auto outside = joint.SmallerOutsideDiameter();
  double radius = p.layout.shape().radius_mm;
  if (p.ruler == Ruler::kOutsideMm) {
    if (outside)
      radius = outside->value_mm / 2;
    else if (const auto wall = joint.ThinnerWall())
      radius += wall->value_mm;
  }
  const double deg_per_mm = 1 / vision::bore::ArcMm(1, radius);
  double step = 1;
  for (double one : {1.0, 5.0, 10.0, 20.0, 50.0, 100.0})
    if (step = one; one * deg_per_mm * px_per_deg >= 50) break;
  const double whole = 360 / deg_per_mm;
  add(step, deg_per_mm, [whole, relative](double mm) {
    const long wrapped = std::lround(std::fmod(mm, whole));
    return (relative ? PageView::tr("%1 mm rel.") : QString("%1 mm")).arg(wrapped);
  });
}

}  // namespace

std::vector<RulerMark> RulerMarksOf(const LinePaint& p) {
  const auto [from, to] = p.layout.ThetaSpan(p.line);
  std::vector<RulerMark> marks;
  const double px_per_deg = p.layout.total_px() / 360.0;
  const bool relative = p.desk.edited().angles == "relative";
  const Add add = [&, from = from, to = to](double step, double unit_deg, const auto& label) {
    for (double k = std::ceil(from / (step * unit_deg)); k * step * unit_deg < to; ++k)
      marks.push_back({k * step * unit_deg, label(k * step)});
  };
  const bool millimetres = p.ruler == Ruler::kInsideMm || p.ruler == Ruler::kOutsideMm;
  if (p.ruler == Ruler::kStations && p.desk.opened().belt && !relative) {
    AddStations(p, to, from, marks);
  } else if (p.ruler == Ruler::kClock && !relative) {
    const double step = px_per_deg * 0.5 >= 60 ? 0.5 : px_per_deg * 2.5 >= 60 ? 2.5 : px_per_deg * 15 >= 60 ? 15 : 30;
    add(step, 1, [](double theta) { return QString::fromStdString(vision::bore::ClockText(theta)); });
  } else if (millimetres) {
    AddMillimetres(p, px_per_deg, relative, add);
  } else {
    const double step = px_per_deg >= 50 ? 1 : px_per_deg * 5 >= 50 ? 5 : px_per_deg * 10 >= 50 ? 10 : 30;
    const QString label = relative ? PageView::tr("%1° rel.") : QString("%1°");
    add(step, 1, [label](double theta) { return label.arg(vision::bore::Wrap360(theta)); });
  }
  return marks;
}

std::pair<int, int> MarginsFor(const Layers& layers, const std::vector<Ribbon>& ribbons, bool film) {
  int above = layers.rulers ? kRuler : 4, below = 4;
  if (layers.fusion) above += kEdge, below += kEdge;
  if (layers.ribbons && !ribbons.empty()) {
    above += ribbons[0].measured ? kRibbon : kThin;
    bool any = false;
    for (std::size_t i = 1; i < ribbons.size(); ++i)
      if (ribbons[i].measured) below += kRibbon, any = true;
    if (!any) below += kThin;
  }
  if (film && layers.film) below += kFilm;
  return {above, below};
}

void PaintRuler(const LinePaint& p) {
  const QRectF strip = StripRectF(p);
  const double top = strip.top() - p.layout.shape().above_px;
  p.painter.setFont(Small(p.painter));
  p.painter.setPen(p.palette.color(QPalette::Text));
  for (const RulerMark& mark : RulerMarksOf(p)) {
    const double x = p.layout.XOnLine(mark.theta_deg, p.line);
    if (x < strip.left() || x > strip.right()) continue;
    p.painter.drawLine(QPointF(x, top + 13), QPointF(x, top + kRuler));
    if (x + 44 < strip.right() + 8) p.painter.drawText(QPointF(x + 3, top + 12), mark.label);
  }
}

void PaintFusionEdges(const LinePaint& p) {
  const QRectF strip = StripRectF(p);
  for (const bool left : {true, false}) {
    const auto& edges = left ? p.desk.known().edges_a : p.desk.known().edges_b;
    const double y = left ? strip.top() - kEdge : strip.bottom();
    double from = strip.left();
    known::Edge edge = known::Edge::kNotVisible;
    bool first = true;
    const auto end_at = [&](double x) {
      const double to = std::clamp(x, strip.left(), strip.right());
      if (!first && to > from) FillMark(p.painter, QRectF(from, y + 1, to - from, kEdge - 2.0), MeansOf(edge));
      from = std::max(strip.left(), std::min(x, strip.right()));
    };
    EachStation(p, edges.size(), [&](std::size_t i, double x) {
      if (!first && edges[i] == edge) return;
      end_at(x);
      first = false, edge = edges[i];
    });
    end_at(strip.right());
    p.painter.setFont(Small(p.painter, true));
    p.painter.setPen(p.palette.color(QPalette::Text));
    p.painter.drawText(QRectF(2, y - 3, strip.left() - 8, 15), Qt::AlignRight | Qt::AlignVCenter, left ? "a" : "b");
  }
}

namespace {

/// Marks the stretch of a ribbon that rests on a toe set by hand.
void PaintByHand(const LinePaint& p, const notes::HandToe& toe, const QRectF& area) {
  const double from = toe.points.front().theta_deg, length = vision::bore::Wrap360(toe.points.back().theta_deg - from);
  for (double turn : {-360.0, 0.0, 360.0}) {
    const double x0 = std::max(area.left(), p.layout.XOnLine(from + turn, p.line)),
                 x1 = std::min(area.right(), p.layout.XOnLine(from + length + turn, p.line));
    if (x1 <= x0) continue;
    p.painter.setPen(PenOfMark(marks::Means::kToeByHand, 3));
    p.painter.drawLine(QPointF(x0, area.bottom() - 2), QPointF(x1, area.bottom() - 2));
    p.painter.setFont(Small(p.painter));
    p.painter.setPen(p.palette.color(QPalette::Text));
    p.painter.drawText(QPointF(x0, area.top() + 9), PageView::tr("by hand"));
  }
}

}  // namespace

void PaintRibbon(const LinePaint& p, const Ribbon& ribbon, const QRectF& area) {
  const auto y_of = [&](double mm) {
    return area.bottom() - 2 - (mm - ribbon.low_mm) / (ribbon.high_mm - ribbon.low_mm) * (area.height() - 4);
  };
  p.painter.save();
  p.painter.setClipRect(area, Qt::IntersectClip);
  p.painter.setPen(QPen(p.palette.color(QPalette::Mid), 0.6));
  for (double mm : {ribbon.low_mm, ribbon.high_mm})
    p.painter.drawLine(QPointF(area.left(), y_of(mm)), QPointF(area.right(), y_of(mm)));
  QColor band = ColourOf(marks::Means::kUncertainty);
  p.painter.setPen(Qt::NoPen);
  p.painter.setBrush(band);
  QPolygonF upper, lower;
  const auto flush = [&] {
    for (qsizetype i = lower.size(); i-- > 0;) upper << lower[i];
    if (!upper.isEmpty()) p.painter.drawPolygon(upper);
    upper.clear(), lower.clear();
  };
  EachStation(p, ribbon.value_mm.size(), [&](std::size_t i, double x) {
    const double v = ribbon.value_mm[i], u = ribbon.expanded_mm[i];
    if (!std::isfinite(v) || !std::isfinite(u)) return flush();
    upper << QPointF(x, y_of(v + u));
    lower << QPointF(x, y_of(v - u));
  });
  flush();
  p.painter.setBrush(Qt::NoBrush);
  StrokePieces(p.painter, Polyline(p, ribbon.value_mm, y_of), PenOfMark(marks::Means::kValue, 1.6));
  p.painter.setPen(PenOfMark(marks::Means::kLimit, 1.6));
  p.painter.drawPath(Polyline(p, ribbon.limit_mm, y_of));
  p.painter.restore();
  if (ribbon.by_hand)
    for (const auto& toe : p.desk.notes().toes) PaintByHand(p, toe, area);
  p.painter.setFont(Small(p.painter));
  p.painter.setPen(p.palette.color(QPalette::Text));
  const QRectF axis(0, area.top(), area.left() - 4, area.height());
  p.painter.drawText(axis, Qt::AlignRight | Qt::AlignTop, QString("%1 mm").arg(ribbon.high_mm));
  p.painter.drawText(axis, Qt::AlignRight | Qt::AlignBottom, QString::number(ribbon.low_mm));
  if (p.line == 0) {
    p.painter.setFont(Small(p.painter, true));
    p.painter.drawText(area.adjusted(4, 0, 0, 0), Qt::AlignLeft | Qt::AlignTop, Words::Name(ribbon.of));
  }
}

void PaintRibbons(const LinePaint& p) {
  const QRectF strip = StripRectF(p);
  const auto& ribbons = p.desk.ribbons();
  if (ribbons.empty()) return;
  const auto thin = [&](double y, const QString& text) {
    p.painter.setFont(Small(p.painter));
    p.painter.setPen(p.palette.color(QPalette::PlaceholderText));
    if (p.line == 0) p.painter.drawText(QRectF(strip.left(), y, strip.width(), kThin), Qt::AlignVCenter, text);
  };
  const double above = strip.top() - p.layout.shape().above_px + kRuler;
  if (ribbons[0].measured)
    PaintRibbon(p, ribbons[0], {strip.left(), above, strip.width(), kRibbon - 2.0});
  else
    thin(above, Words::Name(ribbons[0].of) + ": " + PageView::tr("not measurable from this recording"));
  double y = strip.bottom() + kEdge + 2;
  QStringList absent;
  for (std::size_t i = 1; i < ribbons.size(); ++i) {
    if (!ribbons[i].measured) {
      absent << Words::Name(ribbons[i].of);
      continue;
    }
    PaintRibbon(p, ribbons[i], {strip.left(), y, strip.width(), kRibbon - 4.0});
    y += kRibbon;
  }
  if (absent.size() == 3)
    thin(y - 2, absent.join(", ") + ": " + PageView::tr("not measurable from this recording") + " (" +
                    Words::Said(ribbons[1].why) + ")");
}

bool PaintScaleBar(const LinePaint& p, const Units& units) {
  const QRectF strip = StripRectF(p);
  double length = 0.5;
  for (double one : {0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0})
    if (one * p.layout.px_per_mm() <= 160) length = one;
  QString text = QString("%1 mm").arg(length);
  if (units.inches) {  // the largest whole fraction that fits
    for (double parts : {1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0})
      if (length = 25.4 / parts; length * p.layout.px_per_mm() <= 160) break;
    text = report::FractionText(length, units.denominator);
  }
  const double width = length * p.layout.px_per_mm();
  if (width + 60 > strip.width()) return false;
  const QRectF bar(strip.right() - width - 14, strip.bottom() - 12, width, 5);
  p.painter.setPen(QPen(Qt::black, 1));
  p.painter.setBrush(Qt::white);
  p.painter.drawRect(bar);
  p.painter.setFont(Small(p.painter, true));
  DrawTextOn(p.painter, QRectF(bar.left() - 40, bar.top() - 17, width + 48, 15), Qt::AlignRight | Qt::AlignVCenter,
             text);
  return true;
}

}  // namespace app::viewer
