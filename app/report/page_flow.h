#pragma once

#include <QTextLayout>
#include <functional>
#include <memory>
#include <vector>

#include "app/report/content.h"

class QPainter;

namespace app::report {

/// Text broken into lines once, so that every page is set from the same measure. Units: 0.1 mm.
class TextBox {
 public:
  TextBox(const QString& text, double size_mm, bool bold, double width);
  double height() const { return height_; }
  void Draw(QPainter& painter, QPointF at, const QColor& colour) const;

 private:
  std::shared_ptr<QTextLayout> layout_;
  double height_ = 0;
};

/// In the words it is given, which must outlive it, puts blocks one below the other on as many pages as they need; a
/// page is a list of things to draw.
class PageFlow {
 public:
  using Draw = std::function<void(QPainter&)>;
  PageFlow(const PageMeasures& measures, const Wording& wording);

  void operator()(const Heading& heading);
  void operator()(const Paragraph& paragraph);
  void operator()(const Notice& notice);
  void operator()(const Table& table);
  void operator()(const Figure& figure);
  void operator()(const Signatures& signatures);
  void operator()(const PageBreak& page_break);

  /// Pages in use when the first page break came; 0 = none came.
  int pages_before_break() const { return pages_before_break_; }
  const std::vector<std::vector<Draw>>& pages() const { return pages_; }

 private:
  struct Row;
  Row SetRow(const std::vector<Cell>& cells, const std::vector<double>& widths, bool title, double letters_mm) const;
  void PlaceRow(const Row& row, const std::vector<double>& widths);
  void PlaceText(const TextBox& box, double x);
  /// Starts a page unless `height` still fits on this one.
  void Need(double height);
  void Add(Draw draw) { pages_.back().push_back(std::move(draw)); }

  const Wording& wording_;
  double left_, width_, top_, end_;
  double y_ = 0;
  int pages_before_break_ = 0;
  double heading_height_ = 0;  ///< Of a heading that waits for what it is the heading of.
  std::vector<Heading> waiting_;
  std::vector<std::vector<Draw>> pages_;
};

}  // namespace app::report
