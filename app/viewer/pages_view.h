#pragma once

#include <QImage>
#include <QScrollArea>
#include <vector>

namespace app::viewer {

/// Pages of a record one below the other, as they come on paper.
class PagesView : public QScrollArea {
  Q_OBJECT
 public:
  explicit PagesView(QWidget* parent = nullptr);

  void Show(const std::vector<QImage>& pages);
  int pages() const { return pages_; }

  static constexpr double kDotsPerMm = 4.2;  ///< A page of A4 is 882 px wide: letters of 2.5 mm can be read.

 private:
  int pages_ = 0;
};

}  // namespace app::viewer
