#include "app/report/place_figure.h"

#include <QPainter>
#include <cmath>

#include "app/report/drawing.h"
#include "app/report/page_flow.h"
#include "app/report/text.h"
#include "app/report/wording.h"
#include "app/words/print.h"
#include "vision/bore/angle.h"

namespace app::report {
namespace {

using repair::ClockDegInView;
using repair::View;

constexpr double kBore = 250, kOutside = 300, kNumbers = 345;
constexpr double kCentreX = 400, kCentreY = 350, kScale = 0.9;  ///< On paper, units.

QPointF OnCircle(double radius, double clock_deg) {
  const double a = clock_deg * vision::bore::kRadPerDeg;
  return {radius * std::sin(a), -radius * std::cos(a)};
}

View ViewOf(const repair::RepairPlan& plan) { return plan.belt ? plan.belt->view : View::kAlongPlusZ; }

void DrawPipe(QPainter& painter) {
  painter.setPen(QPen(ink::kText, 4));
  painter.setBrush(Qt::NoBrush);
  painter.drawEllipse(QPointF(0, 0), kBore, kBore);
  painter.drawEllipse(QPointF(0, 0), kOutside, kOutside);
  painter.setFont(FontOf(3.4));
  DrawCentred(painter, {0, -kBore + 40}, "12");
  painter.drawLine(OnCircle(kBore - 16, 0), OnCircle(kBore, 0));
}

/// The numbers as that person sees them, with the way they run.
void DrawBelt(QPainter& painter, const repair::Belt& belt) {
  painter.setFont(FontOf(3.2, true));
  const double turn = belt.numbers_run == repair::Turn::kClockwise ? 1 : -1;
  for (int number = 0; number < belt.Numbers(); ++number) {
    const double clock = belt.zero_clock_deg + turn * 360 * number * belt.spacing_mm / belt.length_mm;
    painter.setPen(QPen(ink::kText, 3));
    painter.drawLine(OnCircle(kOutside, clock), OnCircle(kOutside + 18, clock));
    DrawCentred(painter, OnCircle(kNumbers, clock), QString::number(number));
  }
}

/// The spot on the bore's wall, with the band in which to search where it is known from the film only.
void DrawPlaces(QPainter& painter, const repair::RepairPlan& plan) {
  for (const repair::Place& place : plan.places) {
    const double clock = ClockDegInView(place.theta_deg, ViewOf(plan));
    const double half = std::max(place.band_half_deg, plan.confirmed_inside ? plan.blend.sweep_deg / 2 : 0.0);
    FillHatched(painter, RingSector(kBore, kOutside, clock - half, 2 * half));
    painter.setPen(QPen(ink::kText, 8));
    painter.drawLine(OnCircle(kBore - 70, clock), OnCircle(kBore - 6, clock));
    painter.drawLine(OnCircle(kBore - 6, clock), OnCircle(kBore - 34, clock - 4));
    painter.drawLine(OnCircle(kBore - 6, clock), OnCircle(kBore - 34, clock + 4));
    painter.setFont(FontOf(3.6, true));
    DrawCentred(painter, OnCircle(kBore - 110, clock), QString("%1°").arg(clock, 0, 'f', 0));
  }
}

/// A head and shoulders seen from behind: the reader is that person.
void DrawPerson(QPainter& painter, const Wording& wording, const repair::RepairPlan& plan) {
  painter.setPen(QPen(ink::kText, 5));
  painter.setBrush(Qt::white);
  painter.drawEllipse(QPointF(0, 440), 26, 30);
  QPainterPath shoulders;
  shoulders.moveTo(-80, 535);
  shoulders.cubicTo(-70, 472, 70, 472, 80, 535);
  painter.drawPath(shoulders);
  const bool along = ViewOf(plan) == View::kAlongPlusZ;
  const std::string &near = along ? plan.piece_a : plan.piece_b, &far = along ? plan.piece_b : plan.piece_a;
  painter.setFont(FontOf(3.6));
  DrawCentred(painter, {0, 578}, wording({Print::kYouStandAt, {Typed(near)}}));
  DrawCentred(painter, {0, 616}, wording({Print::kAndLookTowards, {Typed(far)}}));
}

/// What must be read from arm's length.
void DrawWords(QPainter& painter, const Wording& wording, const std::vector<Text>& words, double x, double width) {
  double y = 40;
  for (std::size_t i = 0; i < words.size(); ++i) {
    const TextBox box(wording(words[i]), i == 0 ? 8.5 : 5.6, true, width);
    box.Draw(painter, {x, y}, ink::kText);
    y += box.height() + (i == 0 ? 50 : 28);
  }
}

}  // namespace

Figure PlaceFigure(const repair::RepairPlan& plan, const std::vector<Text>& words, double width_mm) {
  Figure figure;
  figure.width_mm = width_mm;
  figure.height_mm = 94;
  figure.title = Print::kPlaceFigure;
  figure.paint = [plan, words, width_mm](QPainter& painter, const Wording& wording) {
    painter.save();
    painter.translate(kCentreX, kCentreY);
    painter.scale(kScale, kScale);
    DrawPipe(painter);
    if (plan.belt) DrawBelt(painter, *plan.belt);
    DrawPlaces(painter, plan);
    DrawPerson(painter, wording, plan);
    painter.restore();
    DrawWords(painter, wording, words, 2 * kCentreX + 30, width_mm * 10 - 2 * kCentreX - 30);
  };
  return figure;
}

}  // namespace app::report
