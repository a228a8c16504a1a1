#include "app/viewer/printing.h"

#include <QPainter>
#include <QPrintDialog>
#include <QPrinter>

namespace app::viewer {

bool AskForPrinter(QPrinter& printer, QWidget* parent) {
  QPrintDialog ask(&printer, parent);
  ask.setObjectName("print_dialog");
  return ask.exec() == QDialog::Accepted;
}

vision::Status Print(const std::vector<QImage>& pages, double dots_per_mm, QPrinter& printer) {
  printer.setFullPage(true);  // the pages bring their own margins
  QPainter painter;
  if (!painter.begin(&printer))
    return vision::Error{vision::ErrorCode::kIo, "The printer takes nothing; choose another one or a file."};
  painter.setRenderHint(QPainter::SmoothPixmapTransform);
  for (std::size_t i = 0; i < pages.size(); ++i) {
    if (i > 0 && !printer.newPage())
      return vision::Error{vision::ErrorCode::kIo, "The printer stopped after page " + std::to_string(i) + "."};
    const QRectF sheet = printer.paperRect(QPrinter::DevicePixel);
    const double per_mm = printer.resolution() / 25.4;
    QSizeF size = QSizeF(pages[i].size()) * (per_mm / dots_per_mm);
    if (size.width() > sheet.width() || size.height() > sheet.height()) size.scale(sheet.size(), Qt::KeepAspectRatio);
    QRectF where(QPointF(), size);
    where.moveCenter(QRectF(QPointF(), sheet.size()).center());
    painter.drawImage(where, pages[i]);
  }
  if (painter.end()) return std::nullopt;
  return vision::Error{vision::ErrorCode::kIo, "The printer did not take the last page."};
}

}  // namespace app::viewer
