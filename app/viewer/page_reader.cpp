// What the fitted reader saw of the strip, so that an examiner can disagree at the place.
#include <cmath>

#include "app/viewer/page_paint_parts.h"
#include "vision/bore/stations.h"

namespace app::viewer {
namespace {

constexpr double kChanceHigh_px = 30;  ///< On the screen, from 0 to 1.

/// Two spreads either way of a toe.
void PaintSpread(const LinePaint& p, const std::vector<double>& z_mm, const std::vector<double>& u_mm) {
  QColor colour = ColourOf(marks::Means::kUncertainty);
  colour.setAlpha(110);
  const double wide =
      std::max(1.0, p.layout.XOnLine(vision::bore::kStationLine_deg, p.line) - p.layout.XOnLine(0, p.line));
  EachStation(p, z_mm.size(), [&](std::size_t i, double x) {
    if (!std::isfinite(z_mm[i]) || !std::isfinite(u_mm[i])) return;
    const double from = p.layout.YOnLine(z_mm[i] - 2 * u_mm[i], p.line),
                 to = p.layout.YOnLine(z_mm[i] + 2 * u_mm[i], p.line);
    p.painter.fillRect(QRectF(QPointF(x, from), QPointF(x + wide, to)).normalized(), colour);
  });
}

void PaintChance(const LinePaint& p, const std::vector<double>& chance, bool left) {
  const QRectF strip = StripRectF(p);
  const auto y_of = [&](double share) {
    return left ? strip.top() + 2 + share * kChanceHigh_px : strip.bottom() - 2 - share * kChanceHigh_px;
  };
  const QPainterPath path = Polyline(p, chance, y_of);
  StrokePieces(p.painter, path, QPen(QColor(0, 0, 0, 170), 3.6));
  StrokePieces(p.painter, path, PenOfMark(marks::Means::kChance, 1.8));
}

}  // namespace

void PaintReader(const LinePaint& p) {
  const auto& profile = p.desk.known().measured.profile;
  PaintSpread(p, profile.left_toe_z_mm, profile.left_toe_u_mm);
  PaintSpread(p, profile.right_toe_z_mm, profile.right_toe_u_mm);
  PaintChance(p, profile.unfused_left_chance, true);
  PaintChance(p, profile.unfused_right_chance, false);
}

}  // namespace app::viewer
