#include <QImage>
#include <algorithm>
#include <cmath>

#include "app/viewer/page_paint_parts.h"

namespace app::viewer {
namespace {

/// One stretch of the film between two of its numbers, on the place of the page that lies under it.
struct Piece {
  QRectF on_page;
  bool turned = false;  ///< Its left is on the right of the page.
};

Piece PieceOf(const LinePaint& p, const repair::FilmStretch& stretch, double turn_deg, double top) {
  const double a = p.layout.XOnLine(stretch.theta_from_deg + turn_deg, p.line),
               b = p.layout.XOnLine(stretch.theta_to_deg + turn_deg, p.line);
  return {QRectF(std::min(a, b), top, std::abs(b - a), kFilm - 4.0), b < a};
}

/// As large as along the line; what is higher than the band is cut, above and below alike.
void DrawPiece(QPainter& painter, const QImage& film, const repair::FilmStretch& stretch, const Piece& piece) {
  const double scale = piece.on_page.width() / (stretch.x_to_px - stretch.x_from_px);
  const double rows = std::min<double>(film.height(), piece.on_page.height() / scale);
  const QRectF from(stretch.x_from_px, 0.5 * (film.height() - rows), stretch.x_to_px - stretch.x_from_px, rows);
  QRectF to = piece.on_page;
  to.setHeight(rows * scale);
  to.moveCenter(piece.on_page.center());
  painter.save();
  if (piece.turned) {
    painter.translate(2 * to.center().x(), 0);
    painter.scale(-1, 1);
  }
  painter.drawImage(to, film, from);
  painter.restore();
}

}  // namespace

void PaintFilm(const LinePaint& p) {
  const auto& film = p.desk.opened().film;
  if (!film) return;
  const QRectF strip = StripRectF(p);
  const double top = strip.bottom() + p.layout.shape().below_px - kFilm;
  const QImage picture(film->picture.data, film->picture.cols, film->picture.rows,
                       static_cast<qsizetype>(film->picture.step[0]), QImage::Format_BGR888);
  p.painter.save();
  p.painter.setClipRect(QRectF(strip.left(), top, strip.width(), kFilm), Qt::IntersectClip);
  p.painter.setRenderHint(QPainter::SmoothPixmapTransform);
  p.painter.setFont(Small(p.painter));
  bool any = false;
  for (const auto& stretch : film->stretches)
    for (const double turn_deg : {-360.0, 0.0, 360.0, 720.0}) {
      const Piece piece = PieceOf(p, stretch, turn_deg, top);
      if (piece.on_page.right() < strip.left() || piece.on_page.left() > strip.right()) continue;
      DrawPiece(p.painter, picture, stretch, piece);
      p.painter.setPen(QPen(p.palette.color(QPalette::Text), 1, Qt::DotLine));
      for (const double x : {piece.on_page.left(), piece.on_page.right()})
        p.painter.drawLine(QPointF(x, top), QPointF(x, top + kFilm));
      any = true;
    }
  p.painter.restore();
  if (!any) return;
  p.painter.setFont(Small(p.painter));
  p.painter.setPen(p.palette.color(QPalette::Text));
  p.painter.drawText(QRectF(strip.left() - 52, top, 48, kFilm - 4.0), Qt::AlignRight | Qt::AlignVCenter,
                     PageView::tr("film"));
}

}  // namespace app::viewer
