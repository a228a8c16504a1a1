// The handbook's sketches, drawn with words in the reader's language. Not to scale, as the text beside them says.
#include <QPainter>
#include <QPainterPath>

#include "app/handbook/handbook.h"

namespace app::handbook {
namespace {

constexpr int kWide = 880, kHigh = 380;
const QColor kInk(30, 30, 30), kMetal(205, 210, 216), kWeld(238, 200, 130), kRing(196, 150, 90);

QString Said(const QString& language, const char* en, const char* es) {
  return QString::fromUtf8(language == "es" ? es : en);
}

/// A word with a line to what it names.
void Name(QPainter& painter, QPointF word, QPointF at, const QString& text) {
  const QRectF box(word.x() - 170, word.y() - 11, 340, 22);
  painter.setPen(QPen(kInk, 1.4));
  const double edge = at.y() > word.y() ? box.bottom() : box.top();
  painter.drawLine(QPointF(word.x(), edge), at);
  painter.setBrush(kInk);
  painter.drawEllipse(at, 3, 3);
  painter.drawText(box, Qt::AlignCenter, text);
}

/// The wall cut along the pipe: the bore below, the bead standing into it, piece b a step lower than piece a.
void Section(QPainter& painter, const QString& language) {
  constexpr double top = 120, a_inside = 250, b_inside = 236;
  painter.setPen(QPen(kInk, 2));
  painter.setBrush(kMetal);
  painter.drawRect(QRectF(40, top, 360, a_inside - top));
  painter.drawRect(QRectF(480, top, 360, b_inside - top));
  painter.setBrush(kWeld);
  QPainterPath bead(QPointF(400, top));
  bead.quadTo(440, top - 22, 480, top);
  bead.lineTo(480, b_inside);
  bead.quadTo(470, 292, 440, 292);
  bead.quadTo(405, 292, 400, a_inside);
  bead.closeSubpath();
  painter.drawPath(bead);
  painter.setBrush(kRing);
  painter.drawRect(QRectF(480, b_inside - 8, 12, 30));
  painter.setPen(QPen(kInk, 1, Qt::DashLine));
  painter.drawLine(QPointF(400, a_inside), QPointF(560, a_inside));
  Name(painter, {130, 330}, {400, a_inside}, Said(language, "toe", "pie del cordón"));
  Name(painter, {330, 350}, {440, 280}, Said(language, "root, with root reinforcement", "raíz, con sobreespesor"));
  Name(painter, {640, 350}, {486, 256}, Said(language, "insert, edge not fused", "inserto, borde sin fundir"));
  Name(painter, {700, 300}, {540, 243}, Said(language, "misalignment", "desalineación"));
  painter.drawText(QRectF(60, 160, 320, 30), Qt::AlignCenter, Said(language, "piece a", "pieza a"));
  painter.drawText(QRectF(500, 160, 320, 30), Qt::AlignCenter, Said(language, "piece b", "pieza b"));
  painter.drawText(QRectF(40, 20, 800, 30), Qt::AlignCenter,
                   Said(language, "Cut along the pipe: outside above, bore below",
                        "Corte a lo largo del tubo: exterior arriba, interior abajo"));
  painter.drawLine(QPointF(60, 80), QPointF(240, 80));
  painter.drawLine(QPointF(240, 80), QPointF(228, 74));
  painter.drawLine(QPointF(240, 80), QPointF(228, 86));
  painter.drawText(QRectF(250, 68, 300, 24), Qt::AlignLeft, Said(language, "+z, from a to b", "+z, de a hacia b"));
}

/// The pipe's end with its clock, and the strip it is unrolled to.
void Strip(QPainter& painter, const QString& language) {
  const QPointF centre(170, 200);
  painter.setPen(QPen(kInk, 2));
  painter.setBrush(kMetal);
  painter.drawEllipse(centre, 130, 130);
  painter.setBrush(Qt::white);
  painter.drawEllipse(centre, 100, 100);
  const char* hours[] = {"12", "3", "6", "9"};
  const QPointF places[] = {{170, 84}, {286, 200}, {170, 316}, {54, 200}};
  for (int i = 0; i < 4; ++i)
    painter.drawText(QRectF(places[i] - QPointF(16, 11), QSizeF(32, 22)), Qt::AlignCenter, hours[i]);
  painter.setBrush(Qt::NoBrush);
  painter.drawArc(QRectF(110, 140, 120, 120), 80 * 16, -100 * 16);
  painter.drawText(QRectF(60, 345, 220, 24), Qt::AlignCenter, Said(language, "seen along +z", "visto según +z"));
  const QRectF strip(380, 130, 460, 140);
  painter.setBrush(kMetal);
  painter.drawRect(strip);
  painter.setBrush(kWeld);
  painter.drawRect(QRectF(380, 180, 460, 40));
  for (int i = 0; i < 5; ++i) {
    const double x = 380 + i * 115;
    painter.drawLine(QPointF(x, 270), QPointF(x, 278));
    painter.drawText(QRectF(x - 60, 280, 120, 22), Qt::AlignCenter, QString("%1° (%2)").arg(i * 90).arg(hours[i % 4]));
  }
  painter.drawText(QRectF(380, 138, 460, 30), Qt::AlignCenter, Said(language, "piece a", "pieza a"));
  painter.drawText(QRectF(380, 185, 460, 30), Qt::AlignCenter, Said(language, "root", "raíz"));
  painter.drawText(QRectF(380, 232, 460, 30), Qt::AlignCenter, Said(language, "piece b", "pieza b"));
  painter.drawText(QRectF(380, 90, 460, 30), Qt::AlignCenter,
                   Said(language, "the strip: the wall laid flat, seen from inside",
                        "la tira: la pared desplegada, vista desde dentro"));
}

}  // namespace

QImage Sketch(const QString& name, const QString& language) {
  if (name != "section" && name != "strip") return {};
  QImage image(2 * kWide, 2 * kHigh, QImage::Format_RGB32);
  image.fill(Qt::white);
  QPainter painter(&image);
  painter.setRenderHint(QPainter::Antialiasing);
  painter.scale(2, 2);
  QFont font("DejaVu Sans");
  font.setPixelSize(16);
  painter.setFont(font);
  name == "section" ? Section(painter, language) : Strip(painter, language);
  return image;
}

}  // namespace app::handbook
