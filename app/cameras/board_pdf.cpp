#include "app/cameras/board_pdf.h"

#include <QBuffer>
#include <QPainter>
#include <QPdfWriter>
#include <cmath>

#include "vision/base/file.h"

namespace app::cameras {
namespace {

constexpr double kMargin_mm = 10, kFoot_mm = 26, kBar_mm = 100;
constexpr const char* kPages[] = {"A4", "A3", "A2", "A1", "A0"};

std::optional<QPageSize> PageNamed(const std::string& name) {
  if (name == "A4") return QPageSize(QPageSize::A4);
  if (name == "A3") return QPageSize(QPageSize::A3);
  if (name == "A2") return QPageSize(QPageSize::A2);
  if (name == "A1") return QPageSize(QPageSize::A1);
  if (name == "A0") return QPageSize(QPageSize::A0);
  if (name == "Letter") return QPageSize(QPageSize::Letter);
  return std::nullopt;
}

QSizeF BoardSize(const BoardSheet& board) {
  return {(board.columns + 1) * board.square_mm, (board.rows + 1) * board.square_mm};
}

QSizeF PaperSize(const BoardSheet& board, const QPageSize& page) {
  const QSizeF upright = page.size(QPageSize::Millimeter), size = BoardSize(board);
  return size.width() > size.height() ? upright.transposed() : upright;
}

bool Fits(const BoardSheet& board, const QPageSize& page) {
  const QSizeF paper = PaperSize(board, page), size = BoardSize(board);
  return std::max(size.width(), kBar_mm) + 2 * kMargin_mm <= paper.width() &&
         size.height() + kFoot_mm + 2 * kMargin_mm <= paper.height();
}

std::string PageThatFits(const BoardSheet& board) {
  for (const char* name : kPages)
    if (Fits(board, *PageNamed(name))) return name;
  return {};
}

/// Units are millimetres.
void DrawSquares(QPainter& painter, const BoardSheet& board, QPointF corner) {
  for (int row = 0; row <= board.rows; ++row)
    for (int column = 0; column <= board.columns; ++column)
      if ((row + column) % 2 == 0)
        painter.fillRect(QRectF(corner.x() + column * board.square_mm, corner.y() + row * board.square_mm,
                                board.square_mm, board.square_mm),
                         Qt::black);
}

void DrawBar(QPainter& painter, const BoardSheet& board, QPointF left) {
  painter.fillRect(QRectF(left.x(), left.y(), kBar_mm, 1), Qt::black);
  painter.setPen(QPen(Qt::black, 0.2));
  for (int mm = 0; mm <= 100; mm += 10)
    painter.drawLine(QPointF(left.x() + mm, left.y() + 1), QPointF(left.x() + mm, left.y() + 3));
  QFont font("DejaVu Sans");
  font.setPixelSize(4);
  painter.setFont(font);
  painter.save();
  painter.translate(left.x(), left.y() + 7.5);
  painter.scale(0.75, 0.75);
  painter.drawText(QPointF(0, 0), QString("100 mm: print at 100 %, then measure this bar / imprima al 100 % y mídala"));
  painter.drawText(QPointF(0, 6), QString("%1 x %2 inner corners / esquinas interiores, %3 mm")
                                      .arg(board.columns)
                                      .arg(board.rows)
                                      .arg(board.square_mm));
  painter.restore();
}

}  // namespace

vision::Status BoardSheet::Check() const {
  if (columns < 3 || columns > 40 || rows < 3 || rows > 40)
    return vision::BadInput("The board has " + std::to_string(columns) + " by " + std::to_string(rows) +
                            " inner corners; each must be 3 to 40.");
  if (columns == rows)
    return vision::BadInput("The board has as many columns as rows, " + std::to_string(rows) +
                            "; they must differ, so that its up can be told.");
  if (!(std::isfinite(square_mm) && square_mm >= 2 && square_mm <= 200))
    return vision::BadInput("The board's square must be 2 to 200 mm.");
  const auto paper = PageNamed(page);
  if (!paper) return vision::BadInput("The page is " + page + "; it must be A4, A3, A2, A1, A0 or Letter.");
  if (Fits(*this, *paper)) return std::nullopt;
  const std::string larger = PageThatFits(*this);
  return vision::BadInput("The board does not fit on " + page + "; " +
                          (larger.empty() ? "its squares must be smaller." : "it must be " + larger + ", or smaller."));
}

vision::Status WriteBoard(const std::filesystem::path& file, const BoardSheet& board) {
  if (auto wrong = board.Check()) return wrong;
  if (file.extension() != ".pdf")
    return vision::BadInput("The board's file is " + file.string() + "; its name must end in .pdf.");
  const QPageSize page = *PageNamed(board.page);
  const QSizeF paper = PaperSize(board, page), size = BoardSize(board);
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  QPdfWriter writer(&buffer);
  writer.setPageSize(page);
  writer.setPageOrientation(size.width() > size.height() ? QPageLayout::Landscape : QPageLayout::Portrait);
  writer.setPageMargins(QMarginsF(0, 0, 0, 0));
  writer.setResolution(1270);  // 50 dots a millimetre
  writer.setTitle("Rootscroll: calibration board");
  QPainter painter(&writer);
  painter.scale(50, 50);
  DrawSquares(painter, board, {(paper.width() - size.width()) / 2, kMargin_mm});
  DrawBar(painter, board, {(paper.width() - kBar_mm) / 2, paper.height() - kFoot_mm});
  painter.end();
  return vision::WriteFileWhole(file, bytes.toStdString());
}

}  // namespace app::cameras
