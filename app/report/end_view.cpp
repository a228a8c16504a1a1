#include <QPainter>
#include <algorithm>
#include <array>
#include <cmath>

#include "app/marks/rings.h"
#include "app/report/drawing.h"
#include "app/report/figures.h"
#include "app/report/page_flow.h"
#include "app/report/strip_marks.h"
#include "app/report/text.h"
#include "app/report/wording.h"
#include "app/words/print.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"

namespace app::report {

namespace {
using known::Edge;
using marks::Means;
using vision::Says;
using vision::bore::Arc;

struct Band {
  double inner, outer;  ///< Units.
};
/// The end one looks from is the outer ring (app/marks/rings.h); paper looks from piece a.
constexpr Band kOuter{310, 380}, kInner{205, 275};
constexpr double kHourRadius = 468, kCentreY = 500, kCentreX = 520;
constexpr marks::LookFrom kFrom = marks::LookFrom::kA;

const Band& BandOf(marks::Side side) { return marks::RingOf(side, kFrom) == marks::Ring::kOuter ? kOuter : kInner; }

QPointF OnCircle(double radius, double theta_deg) {
  const double a = theta_deg * vision::bore::kRadPerDeg;
  return {radius * std::sin(a), -radius * std::cos(a)};
}

std::vector<Arc> ArcsOf(const std::vector<Edge>& edges, Edge wanted) {
  std::vector<bool> flags(edges.size());
  for (std::size_t i = 0; i < edges.size(); ++i) flags[i] = edges[i] == wanted;
  return vision::bore::RunsOnCircle(flags);
}

Means MeansOf(Edge edge) {
  switch (edge) {
    case Edge::kNotVisible:
      return Means::kNotVisible;
    case Edge::kFused:
      return Means::kFused;
    case Edge::kUnfused:
      return Means::kUnfused;
    case Edge::kOverruled:
      return Means::kOverruled;
    case Edge::kUnfusedByHand:
      return Means::kUnfusedByHand;
  }
  return Means::kNotVisible;
}

constexpr std::array kEdges{Edge::kUnfused, Edge::kUnfusedByHand, Edge::kOverruled, Edge::kNotVisible, Edge::kFused};

void DrawRing(QPainter& painter, const Band& ring, const std::vector<Edge>& edges) {
  for (const Edge edge : kEdges)
    for (const Arc& arc : ArcsOf(edges, edge))
      FillWith(painter, RingSector(ring.inner, ring.outer, arc.start_deg, arc.length_deg),
               marks::MarkOf(MeansOf(edge)).pattern);
  painter.setPen(QPen(ink::kText, 3));
  painter.setBrush(Qt::NoBrush);
  painter.drawEllipse(QPointF(0, 0), ring.inner, ring.inner);
  painter.drawEllipse(QPointF(0, 0), ring.outer, ring.outer);
}

/// The piece's name on its own ring, where the ring is free.
void DrawRingName(QPainter& painter, const known::Known& known, marks::Side side) {
  const Band& ring = BandOf(side);
  const auto& edges = side == marks::Side::kA ? known.edges_a : known.edges_b;
  std::vector<bool> busy(edges.size());
  for (std::size_t i = 0; i < edges.size(); ++i) busy[i] = edges[i] != Edge::kFused;
  painter.setFont(FontOf(3.4, true));
  const double radius = (ring.inner + ring.outer) / 2;
  const QString name =
      QFontMetricsF(painter.font())
          .elidedText(QString::fromStdString(marks::RingName(side, known.measured.piece_a, known.measured.piece_b)),
                      Qt::ElideMiddle, radius * 2.2);
  const double span = QFontMetricsF(painter.font()).horizontalAdvance(name) / radius * vision::bore::kDegPerRad;
  DrawAlongRing(painter, radius, marks::SeenDeg(marks::NameAngle(busy, span), kFrom), name, ink::kText,
                QPen(Qt::white, QFontMetricsF(painter.font()).height() / 5));
}

void DrawSectors(QPainter& painter, bool relative) {
  for (int hour = 0; hour < 12; ++hour) {
    const double theta = 30.0 * hour;
    painter.setPen(QPen(ink::kText, 2));
    painter.drawLine(OnCircle(kInner.inner, theta), OnCircle(kInner.outer, theta));
    painter.drawLine(OnCircle(kOuter.inner, theta), OnCircle(kOuter.outer + 16, theta));
    painter.setFont(FontOf(relative ? 2.8 : 3.6, true));
    const QString label = relative ? QString("%1°").arg(30 * hour) : QString::number(hour == 0 ? 12 : hour);
    DrawCentred(painter, OnCircle(kHourRadius, theta), label);
  }
}

void DrawTags(QPainter& painter, const std::vector<known::Run>& runs) {
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const auto& run = runs[i].run;
    const double length = vision::bore::Wrap360(run.end_deg - run.start_deg);
    const bool outer = marks::RingOf(marks::SideOf(run.side), kFrom) == marks::Ring::kOuter;
    // Beside the ring, where no label of an hour stands: inside the inner ring, outside the outer one.
    DrawTag(painter, OnCircle(outer ? kOuter.outer + 34 : kInner.inner - 30, run.start_deg + length / 2),
            static_cast<int>(i) + 1);
  }
}

void DrawMiddle(QPainter& painter, const Wording& wording, bool relative) {
  painter.setPen(ink::kText);
  painter.setFont(FontOf(2.8));
  DrawCentred(painter, {0, -42}, wording(Print::kViewAlong));
  DrawCentred(painter, {0, -4}, wording(Print::kAwayFromReader));
  painter.setPen(QPen(ink::kText, 4));  // an arrow seen from behind: its feathers
  painter.drawLine(QPointF(-14, 36), QPointF(14, 64));
  painter.drawLine(QPointF(-14, 64), QPointF(14, 36));
  painter.setBrush(Qt::NoBrush);
  painter.drawEllipse(QPointF(0, 50), 20, 20);
  painter.setPen(ink::kText);
  if (relative) DrawCentred(painter, {0, 98}, wording(Print::kAnglesRelativeShort));
}

/// Text that may take several lines, in a column to the right of the rings.
double DrawLegendText(QPainter& painter, double x, double y, double width, const QString& text) {
  const TextBox box(text, 2.6, false, width);
  box.Draw(painter, {x, y}, ink::kText);
  return box.height();
}

bool Has(const known::Known& known, Edge edge) {
  const auto has = [edge](const std::vector<Edge>& edges) {
    return std::find(edges.begin(), edges.end(), edge) != edges.end();
  };
  return has(known.edges_a) || has(known.edges_b);
}

/// What of the table of marks is on the rings or on the strip beside them.
std::vector<Means> MeansOn(const known::Known& known) {
  std::vector<Means> means{Means::kUnfused};
  if (Has(known, Edge::kUnfusedByHand)) means.push_back(Means::kUnfusedByHand);
  if (Has(known, Edge::kOverruled)) means.push_back(Means::kOverruled);
  means.insert(means.end(), {Means::kNotVisible, Means::kFused, Means::kToe});
  if (!known.toes.empty()) means.push_back(Means::kToeByHand);
  const auto measured = [](const known::Found& found) { return found.measured; };
  if (std::any_of(known.found.begin(), known.found.end(), measured)) means.push_back(Means::kIndication);
  const auto marked = [](const known::Seen& seen) { return seen.marked_place; };
  if (!known.seen.empty()) means.push_back(Means::kNote);
  if (std::any_of(known.seen.begin(), known.seen.end(), marked)) means.push_back(Means::kMarkedPlace);
  return means;
}

void DrawLegend(QPainter& painter, const Wording& wording, const known::Known& known, double x, double width,
                double high) {
  const auto means = MeansOn(known);
  const bool tight = high < 800;
  double y = tight ? 4 : 60;
  y += DrawLegendText(painter, x, y, width, wording(Text(Says::kBoth, {Print::kOuterRing, Print::kInnerRing}))) +
       (tight ? 8 : 30);
  const std::size_t rows = tight && high < 520 ? (means.size() + 2) / 2 : means.size() + 1;
  const double column = rows <= means.size() ? width / 2 : width, top = y;
  const double step = std::min(86.0, (high - y) / static_cast<double>(rows));
  std::size_t row = 0;
  const auto next = [&](double used) {
    y += std::max(step, used);
    if (++row == rows) row = 0, x += column, y = top;
  };
  for (const Means one : means) {
    DrawKey(painter, QRectF(x, y, 90, std::min(44.0, step - 12)), one);
    next(DrawLegendText(painter, x + 112, y, column - 124, wording(Term(marks::MarkOf(one).words))) + 4);
  }
  if (known.runs.empty()) return;
  DrawTag(painter, {x + 45, y + 18}, 1);
  DrawLegendText(painter, x + 112, y, column - 124, wording(Print::kRowInTable));
}
}  // namespace

Figure EndViewFigure(const known::Known& known, double width_mm, double scale) {
  Figure figure;
  figure.width_mm = width_mm;
  figure.height_mm = 100 * scale;
  figure.title = Print::kEndViewTitle;
  figure.paint = [known, width_mm, scale](QPainter& painter, const Wording& wording) {
    painter.save();
    painter.scale(scale, scale);
    painter.translate(kCentreX, kCentreY);
    DrawRing(painter, BandOf(marks::Side::kA), known.edges_a);
    DrawRing(painter, BandOf(marks::Side::kB), known.edges_b);
    DrawSectors(painter, known.relative());
    for (const auto side : {marks::Side::kA, marks::Side::kB}) DrawRingName(painter, known, side);
    DrawTags(painter, known.runs);
    DrawMiddle(painter, wording, known.relative());
    painter.restore();
    const double legend_x = 2 * kCentreX * scale + 40;
    DrawLegend(painter, wording, known, legend_x, width_mm * 10 - legend_x, 1000 * scale);
  };
  return figure;
}

}  // namespace app::report
