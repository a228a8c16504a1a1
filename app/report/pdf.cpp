#include "app/report/pdf.h"

#include <QBuffer>
#include <QPainter>
#include <QPdfWriter>

#include "app/report/drawing.h"
#include "app/report/page_flow.h"
#include "app/report/wording.h"
#include "app/words/print.h"

namespace app::report {

namespace {
constexpr int kDotsPerInch = 1270;  // 50 dots per mm
constexpr double kDotsPerUnit = 5;  // a unit is 0.1 mm

/// The company's logo and header above the line.
void DrawLetterhead(QPainter& painter, const Content& content, const Wording& wording, double left, double width) {
  constexpr double kTop = 35, kHeight = 65;
  double x = left;
  if (!content.logo.isNull()) {
    const QSizeF size = QSizeF(content.logo.size()).scaled(400, kHeight, Qt::KeepAspectRatio);
    painter.setRenderHint(QPainter::SmoothPixmapTransform);
    painter.drawImage(QRectF(QPointF(left, kTop), size), content.logo);
    x += size.width() + 20;
  }
  painter.setPen(ink::kText);
  painter.setFont(FontOf(3.0, true));
  painter.drawText(QRectF(x, kTop, width * 0.5, kHeight), Qt::AlignLeft | Qt::AlignVCenter, wording(content.company));
  painter.setFont(FontOf(2.6));
  painter.drawText(QRectF(left + width * 0.5, kTop, width * 0.5, kHeight), Qt::AlignRight | Qt::AlignVCenter,
                   wording(content.header));
}

void DrawFrame(QPainter& painter, const Content& content, const PageMeasures& measures, const Wording& wording,
               int page, int pages) {
  const double left = measures.side_mm * 10, width = measures.text_width_mm() * 10, right = left + width;
  DrawLetterhead(painter, content, wording, left, width);
  const QFontMetricsF metrics(FontOf(3.2, true));
  painter.setFont(FontOf(3.2, true));
  painter.setPen(ink::kHead);
  painter.drawText(QRectF(left, 110, width * 0.48, 60), Qt::AlignLeft | Qt::AlignVCenter, wording(content.title));
  const QString joint = metrics.elidedText(wording(content.joint), Qt::ElideMiddle, width * 0.5);
  painter.drawText(QRectF(left + width * 0.48, 110, width * 0.52, 60), Qt::AlignRight | Qt::AlignVCenter, joint);
  painter.setPen(QPen(ink::kHead, 6));
  painter.drawLine(QPointF(left, 178), QPointF(right, 178));
  const double foot = measures.height_mm * 10 - 150;
  painter.setPen(QPen(ink::kRule, 2));
  painter.drawLine(QPointF(left, foot - 10), QPointF(right, foot - 10));
  painter.setPen(ink::kText);
  painter.setFont(FontOf(2.5));
  painter.drawText(QRectF(left, foot, width - 300, 50), Qt::AlignLeft | Qt::AlignVCenter,
                   wording(content.running_text));
  painter.setFont(FontOf(2.8, true));
  painter.drawText(QRectF(right - 400, foot, 400, 50), Qt::AlignRight | Qt::AlignVCenter,
                   wording({words::Print::kPageOf, {words::Typed(page), words::Typed(pages)}}));
}

void DrawPage(QPainter& painter, const Content& content, const PageMeasures& measures, const Wording& wording,
              const PageFlow& flow, int page) {
  painter.save();
  DrawFrame(painter, content, measures, wording, page + 1, static_cast<int>(flow.pages().size()));
  for (const auto& draw : flow.pages()[static_cast<std::size_t>(page)]) {
    painter.save();
    draw(painter);
    painter.restore();
  }
  painter.restore();
}

void SetUp(QPdfWriter& writer, const Content& content, const PageMeasures& measures, const Wording& wording) {
  writer.setPageSize(QPageSize(QSizeF(measures.width_mm, measures.height_mm), QPageSize::Millimeter, QString(),
                               QPageSize::FuzzyMatch));
  writer.setPageMargins(QMarginsF(0, 0, 0, 0));
  writer.setPdfVersion(QPagedPaintDevice::PdfVersion_A1b);  // ISO 19005-1 level B: fonts in, colours defined, XMP
  writer.setResolution(kDotsPerInch);
  writer.setTitle(wording(content.title) + ": " + wording(content.joint));
  writer.setCreator("Rootscroll " ROOTSCROLL_VERSION);
}
}  // namespace

int PagesBeforeBreak(const Content& content, const PageMeasures& measures, const Wording& wording) {
  PageFlow flow(measures, wording);
  for (const Block& block : content.blocks) std::visit(flow, block);
  return flow.pages_before_break();
}

vision::Result<Pdf> ToPdf(const Content& content, const PageMeasures& measures, const Wording& wording) {
  PageFlow flow(measures, wording);
  for (const Block& block : content.blocks) std::visit(flow, block);
  const int pages = static_cast<int>(flow.pages().size());

  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  QPdfWriter writer(&buffer);
  SetUp(writer, content, measures, wording);
  QPainter painter;
  if (!painter.begin(&writer)) return vision::Error{vision::ErrorCode::kIo, "The PDF writer did not start."};
  painter.setRenderHint(QPainter::Antialiasing);
  painter.scale(kDotsPerUnit, kDotsPerUnit);
  for (int page = 0; page < pages; ++page) {
    if (page > 0 && !writer.newPage()) return vision::Error{vision::ErrorCode::kIo, "The PDF writer made no new page."};
    DrawPage(painter, content, measures, wording, flow, page);
  }
  painter.end();
  return Pdf{bytes.toStdString(), pages};
}

std::vector<QImage> ToPictures(const Content& content, const PageMeasures& measures, const Wording& wording,
                               double dots_per_mm) {
  PageFlow flow(measures, wording);
  for (const Block& block : content.blocks) std::visit(flow, block);
  const QSize size = (QSizeF(measures.width_mm, measures.height_mm) * dots_per_mm).toSize();
  std::vector<QImage> pictures;
  for (int page = 0; page < static_cast<int>(flow.pages().size()); ++page) {
    QImage picture(size, QImage::Format_RGB32);
    picture.fill(Qt::white);
    QPainter painter(&picture);
    painter.setRenderHints(QPainter::Antialiasing | QPainter::TextAntialiasing | QPainter::SmoothPixmapTransform);
    painter.scale(dots_per_mm / 10, dots_per_mm / 10);
    DrawPage(painter, content, measures, wording, flow, page);
    painter.end();
    pictures.push_back(std::move(picture));
  }
  return pictures;
}

}  // namespace app::report
