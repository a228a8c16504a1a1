#include "app/report/page_flow.h"

#include <QPainter>
#include <algorithm>

#include "app/report/drawing.h"
#include "app/report/wording.h"
#include "app/words/print.h"

namespace app::report {

namespace {
using words::Print;

constexpr double kBody = 3.0, kSmall = 2.8, kFine = 2.4;  // letters, mm: 8.5, 8 and 7 points
constexpr double kPad = 14;                               // inside a cell, units
constexpr double kHeading = 100;                          // a heading with the room about it, units
constexpr double kCompactHeading = 60;                    // likewise, on the page that is signed
constexpr double kCropHeight = 240;                       // of a picture in a table, units
}  // namespace

TextBox::TextBox(const QString& text, double size_mm, bool bold, double width)
    : layout_(std::make_shared<QTextLayout>(QString(text).replace('\n', QChar::LineSeparator), FontOf(size_mm, bold))) {
  QTextOption option;
  option.setWrapMode(QTextOption::WrapAtWordBoundaryOrAnywhere);
  layout_->setTextOption(option);
  layout_->setCacheEnabled(true);
  layout_->beginLayout();
  for (QTextLine line = layout_->createLine(); line.isValid(); line = layout_->createLine()) {
    line.setLineWidth(width);
    line.setPosition(QPointF(0, height_));
    height_ += line.height() * 1.06;
  }
  layout_->endLayout();
}

void TextBox::Draw(QPainter& painter, QPointF at, const QColor& colour) const {
  painter.setPen(colour);
  layout_->draw(&painter, at);
}

struct PageFlow::Row {
  std::vector<TextBox> texts;
  std::vector<QImage> pictures;
  std::vector<QSizeF> picture_sizes;
  double height = 0;
  bool title = false;
};

PageFlow::PageFlow(const PageMeasures& measures, const Wording& wording)
    : wording_(wording),
      left_(measures.side_mm * 10),
      width_(measures.text_width_mm() * 10),
      top_(measures.top_mm * 10),
      end_((measures.height_mm - measures.bottom_mm) * 10),
      y_(top_) {
  pages_.emplace_back();
}

void PageFlow::Need(double height) {
  if (y_ + heading_height_ + height > end_ && y_ > top_) {
    pages_.emplace_back();
    y_ = top_;
  }
  heading_height_ = 0;
  for (const Heading& heading : std::exchange(waiting_, {})) {
    const TextBox box(wording_(heading.text), heading.compact ? 3.2 : 4.0, true, width_);
    const double y = y_ > top_ ? y_ + (heading.compact ? 6 : 30) : y_;
    Add([=, this](QPainter& painter) {
      box.Draw(painter, {left_, y}, ink::kHead);
      painter.setPen(QPen(ink::kRule, 2));
      painter.drawLine(QPointF(left_, y + box.height() + 4), QPointF(left_ + width_, y + box.height() + 4));
    });
    y_ = y + box.height() + (heading.compact ? 10 : 18);
  }
}

void PageFlow::operator()(const PageBreak&) {
  if (pages_before_break_ == 0) pages_before_break_ = static_cast<int>(pages_.size());
  if (y_ > top_) pages_.emplace_back(), y_ = top_;
}

void PageFlow::operator()(const Heading& heading) {
  waiting_.push_back(heading);
  heading_height_ += heading.compact ? kCompactHeading : kHeading;
}

void PageFlow::PlaceText(const TextBox& box, double x) {
  Add([box, x, y = y_](QPainter& painter) { box.Draw(painter, {x, y}, ink::kText); });
  y_ += box.height();
}

void PageFlow::operator()(const Paragraph& paragraph) {
  using Weight = Paragraph::Weight;
  const bool fine = paragraph.weight == Weight::kFine;
  const TextBox box(wording_(paragraph.text),
                    fine                                 ? kFine
                    : paragraph.weight == Weight::kSmall ? kSmall
                                                         : kBody,
                    paragraph.weight == Weight::kStrong || paragraph.weight == Weight::kStrongLine, width_);
  Need(box.height() + (paragraph.weight == Weight::kStrong ? 420 : 0));  // it stands over a table
  PlaceText(box, left_);
  y_ += fine ? 4 : 14;
}

void PageFlow::operator()(const Notice& notice) {
  constexpr double kInset = 40;
  const TextBox title(wording_(notice.title), kBody, true, width_ - 2 * kInset),
      text(wording_(notice.text), kSmall, false, width_ - 2 * kInset);
  const double height = title.height() + text.height() + 50;
  Need(height);
  Add([=, this, y = y_](QPainter& painter) {
    painter.setPen(QPen(ink::kText, 4));
    painter.setBrush(Qt::NoBrush);
    painter.drawRect(QRectF(left_, y, width_, height));
    painter.fillRect(QRectF(left_, y, 18, height), ink::kText);
    title.Draw(painter, {left_ + kInset, y + 20}, ink::kHead);
    text.Draw(painter, {left_ + kInset, y + 26 + title.height()}, ink::kText);
  });
  y_ += height + 20;
}

PageFlow::Row PageFlow::SetRow(const std::vector<Cell>& cells, const std::vector<double>& widths, bool title,
                               double letters_mm) const {
  Row row;
  row.title = title;
  for (std::size_t i = 0; i < cells.size() && i < widths.size(); ++i) {
    const double inner = widths[i] - 2 * kPad;
    row.texts.emplace_back(wording_(cells[i].text), letters_mm, cells[i].strong || title, inner);
    row.pictures.push_back(cells[i].picture);
    const QSizeF size = QSizeF(cells[i].picture.size()).scaled(inner, kCropHeight, Qt::KeepAspectRatio);
    row.picture_sizes.push_back(cells[i].picture.isNull() ? QSizeF(0, 0) : size);
    const double text_height = cells[i].text.empty() ? 0 : row.texts.back().height();
    row.height = std::max(row.height, text_height + row.picture_sizes.back().height());
  }
  row.height += letters_mm < kSmall ? 12 : 18;
  return row;
}

void PageFlow::PlaceRow(const Row& row, const std::vector<double>& widths) {
  Add([=, this, y = y_](QPainter& painter) {
    if (row.title) painter.fillRect(QRectF(left_, y, width_, row.height), ink::kPale);
    double x = left_;
    for (std::size_t i = 0; i < row.texts.size(); ++i) {
      row.texts[i].Draw(painter, {x + kPad, y + 8}, ink::kText);
      if (!row.pictures[i].isNull()) {
        const double below = row.height - 10 - row.picture_sizes[i].height();
        painter.setRenderHint(QPainter::SmoothPixmapTransform);
        painter.drawImage(QRectF(QPointF(x + kPad, y + below), row.picture_sizes[i]), row.pictures[i]);
      }
      x += widths[i];
    }
    painter.setPen(QPen(row.title ? ink::kText : ink::kRule, row.title ? 3 : 1.5));
    painter.drawLine(QPointF(left_, y + row.height), QPointF(left_ + width_, y + row.height));
  });
  y_ += row.height;
}

void PageFlow::operator()(const Table& table) {
  double total = 0;
  std::vector<Cell> titles;
  for (const auto& column : table.columns) {
    total += column.share;
    titles.push_back({column.title, {}, true});
  }
  std::vector<double> widths;
  for (const auto& column : table.columns) widths.push_back(width_ * column.share / total);
  const double letters = table.fine ? kFine : kSmall;
  const Row head = SetRow(titles, widths, true, letters);
  bool start = true;
  for (const auto& cells : table.rows) {
    const Row row = SetRow(cells, widths, false, letters);
    const std::size_t page = pages_.size();
    Need(row.height + (start && table.titled ? head.height : 0));
    if (table.titled && (start || pages_.size() != page)) PlaceRow(head, widths);
    PlaceRow(row, widths);
    start = false;
  }
  y_ += 24;
}

void PageFlow::operator()(const Figure& figure) {
  const TextBox text(wording_(figure.text), kFine, false, width_);
  const double text_height = figure.text.empty() ? 0 : text.height() + 8;
  Need(figure.height_mm * 10 + text_height);
  Add([=, this, y = y_](QPainter& painter) {
    painter.save();
    painter.translate(left_, y);
    figure.paint(painter, wording_);
    painter.restore();
    if (text_height > 0) text.Draw(painter, {left_, y + figure.height_mm * 10 + 4}, ink::kText);
  });
  y_ += figure.height_mm * 10 + text_height + 18;
}

void PageFlow::operator()(const Signatures& signatures) {
  constexpr double kLine = 112;
  Need(kLine * static_cast<double>(signatures.roles.size()));
  for (const Text& role : signatures.roles) {
    const std::vector<std::pair<QString, double>> fields{{wording_(role) + ": " + wording_(Print::kName), 0.28},
                                                         {wording_(Print::kQualificationLine), 0.28},
                                                         {wording_(Print::kDate), 0.16},
                                                         {wording_(Print::kSignature), 0.28}};
    double x = left_;
    for (const auto& [name, share] : fields) {
      const double wide = width_ * share;
      const TextBox box(name, kSmall, false, wide - 30);
      Add([=, y = y_ + kLine - 60](QPainter& painter) {
        painter.setPen(QPen(ink::kText, 3));
        painter.drawLine(QPointF(x, y), QPointF(x + wide - 30, y));
        box.Draw(painter, {x, y + 6}, ink::kText);
      });
      x += wide;
    }
    y_ += kLine;
  }
  y_ += 20;
}

}  // namespace app::report
