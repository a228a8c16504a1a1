#include <QPainter>
#include <array>
#include <cmath>

#include "app/report/drawing.h"
#include "app/report/figures.h"
#include "app/report/page_flow.h"
#include "app/report/text.h"
#include "app/report/wording.h"
#include "vision/bore/angle.h"

namespace app::report {

namespace {
using vision::bore::Arc;
using vision::reading::Fusion;

struct Ring {
  double inner, outer;  ///< Units.
};
constexpr Ring kRingA{210, 280}, kRingB{310, 380};
constexpr double kHourRadius = 468, kCentreY = 500, kCentreX = 520;

QPointF OnCircle(double radius, double theta_deg) {
  const double a = theta_deg * vision::bore::kRadPerDeg;
  return {radius * std::sin(a), -radius * std::cos(a)};
}

std::vector<Arc> ArcsOf(const std::vector<Fusion>& states, Fusion wanted) {
  std::vector<bool> flags(states.size());
  for (std::size_t i = 0; i < states.size(); ++i) flags[i] = states[i] == wanted;
  return vision::bore::RunsOnCircle(flags);
}

void DrawRing(QPainter& painter, const Ring& ring, const std::vector<Fusion>& states) {
  for (const Arc& arc : ArcsOf(states, Fusion::kNotVisible)) {
    FillDotted(painter, RingSector(ring.inner, ring.outer, arc.start_deg, arc.length_deg));
  }
  for (const Arc& arc : ArcsOf(states, Fusion::kUnfused)) {
    FillHatched(painter, RingSector(ring.inner, ring.outer, arc.start_deg, arc.length_deg));
  }
  painter.setPen(QPen(ink::kText, 3));
  painter.setBrush(Qt::NoBrush);
  painter.drawEllipse(QPointF(0, 0), ring.inner, ring.inner);
  painter.drawEllipse(QPointF(0, 0), ring.outer, ring.outer);
}

void DrawSectors(QPainter& painter, bool relative) {
  for (int hour = 0; hour < 12; ++hour) {
    const double theta = 30.0 * hour;
    painter.setPen(QPen(ink::kText, 2));
    painter.drawLine(OnCircle(kRingA.inner, theta), OnCircle(kRingA.outer, theta));
    painter.drawLine(OnCircle(kRingB.inner, theta), OnCircle(kRingB.outer + 16, theta));
    painter.setFont(FontOf(relative ? 2.8 : 3.6, true));
    const QString label = relative ? QString("%1°").arg(30 * hour) : QString::number(hour == 0 ? 12 : hour);
    DrawCentred(painter, OnCircle(kHourRadius, theta), label);
  }
}

void DrawTags(QPainter& painter, const std::vector<vision::reading::UnfusedRun>& runs) {
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const double length = vision::bore::Wrap360(runs[i].end_deg - runs[i].start_deg);
    const bool on_a = runs[i].side == "left";
    // Beside the ring, where no label of an hour stands: inside ring a, outside ring b.
    DrawTag(painter, OnCircle(on_a ? kRingA.inner - 30 : kRingB.outer + 34, runs[i].start_deg + length / 2),
            static_cast<int>(i) + 1);
  }
}

void DrawMiddle(QPainter& painter, const ReportInput& input) {
  painter.setPen(ink::kText);
  painter.setFont(FontOf(2.8));
  DrawCentred(painter, {0, -42}, Said("view: looking along +z"));
  DrawCentred(painter, {0, -4}, Said("away from the reader"));
  painter.setPen(QPen(ink::kText, 4));  // an arrow seen from behind: its feathers
  painter.drawLine(QPointF(-14, 36), QPointF(14, 64));
  painter.drawLine(QPointF(-14, 64), QPointF(14, 36));
  painter.setBrush(Qt::NoBrush);
  painter.drawEllipse(QPointF(0, 50), 20, 20);
  painter.setPen(ink::kText);
  if (input.reading.angles == "relative") DrawCentred(painter, {0, 98}, Said("angles relative"));
}

/// Text that may take several lines, in a column to the right of the rings.
double DrawLegendText(QPainter& painter, double x, double y, double width, const QString& text) {
  const TextBox box(text, 3.0, false, width);
  box.Draw(painter, {x, y}, ink::kText);
  return box.height();
}

void DrawKey(QPainter& painter, double x, double y, Fusion state) {
  QPainterPath box;
  box.addRect(QRectF(x, y, 110, 54));
  if (state == Fusion::kUnfused) FillHatched(painter, box);
  if (state == Fusion::kNotVisible) FillDotted(painter, box);
  painter.setPen(QPen(ink::kText, 3));
  painter.setBrush(Qt::NoBrush);
  painter.drawPath(box);
}

void DrawLegend(QPainter& painter, const ReportInput& input, double x, double width) {
  const auto& reading = input.reading;
  double y = 130;
  y += DrawLegendText(
           painter, x, y, width,
           Said("Inner ring: edge of the insert at piece a") + ", " + QString::fromStdString(reading.piece_a)) +
       14;
  y += DrawLegendText(
           painter, x, y, width,
           Said("Outer ring: edge of the insert at piece b") + ", " + QString::fromStdString(reading.piece_b)) +
       40;
  const std::array<std::pair<Fusion, QString>, 3> keys{{{Fusion::kUnfused, "original edge visible"},
                                                        {Fusion::kNotVisible, "not visible: not examined"},
                                                        {Fusion::kFused, "fused: original edge no longer seen"}}};
  for (const auto& [state, text] : keys) {
    DrawKey(painter, x, y, state);
    DrawLegendText(painter, x + 135, y + 8, width - 135, Said(text));
    y += 86;
  }
  y += 10;
  if (!reading.unfused.empty()) {
    DrawTag(painter, {x + 55, y + 24}, 1);
    DrawLegendText(painter, x + 135, y + 6, width - 135, Said("row in the table of edges still visible"));
  }
}
}  // namespace

Figure EndViewFigure(const ReportInput& input, double width_mm) {
  Figure figure;
  figure.width_mm = width_mm;
  figure.height_mm = 100;
  figure.title = "Fusion of the insert around the joint, end view looking along +z";
  figure.paint = [input, width_mm](QPainter& painter) {
    painter.save();
    painter.translate(kCentreX, kCentreY);
    DrawRing(painter, kRingA, input.reading.profile.fusion_left);
    DrawRing(painter, kRingB, input.reading.profile.fusion_right);
    DrawSectors(painter, input.reading.angles == "relative");
    DrawTags(painter, input.reading.unfused);
    DrawMiddle(painter, input);
    painter.restore();
    const double legend_x = 2 * kCentreX + 40;
    DrawLegend(painter, input, legend_x, width_mm * 10 - legend_x);
  };
  return figure;
}

}  // namespace app::report
