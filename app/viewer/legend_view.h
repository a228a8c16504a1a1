#pragma once

#include <QWidget>
#include <vector>

#include "app/marks/marks.h"

namespace app::viewer {

/// What the colours and patterns of a view mean, as rows of swatches and words that wrap. The same table everywhere.
class LegendView : public QWidget {
  Q_OBJECT
 public:
  explicit LegendView(QWidget* parent = nullptr);

  void Show(const std::vector<marks::Means>& means);
  const std::vector<marks::Means>& shown() const { return means_; }
  /// In the person's language.
  static QString WordsOf(marks::Means means);

  bool hasHeightForWidth() const override { return true; }
  int heightForWidth(int width) const override;
  QSize sizeHint() const override { return {200, heightForWidth(std::max(120, width()))}; }
  QSize minimumSizeHint() const override { return {120, 16}; }

 protected:
  void paintEvent(QPaintEvent*) override;
  void resizeEvent(QResizeEvent*) override;

 private:
  std::vector<QRectF> Places(double width) const;  ///< One an entry: swatch and words.

  std::vector<marks::Means> means_;
};

}  // namespace app::viewer
