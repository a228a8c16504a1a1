#pragma once

#include <QImage>
#include <QScrollArea>
#include <vector>

class QLabel;

namespace app::viewer {

/// Pages of a record one below the other, as they come on paper.
class PagesView : public QScrollArea {
  Q_OBJECT
 public:
  explicit PagesView(QWidget* parent = nullptr);

  void Show(const std::vector<QImage>& pages);
  int pages() const { return pages_; }

  static constexpr double kDotsPerMm = 6;  ///< Pages are made small to fit the width, never large.

 protected:
  void resizeEvent(QResizeEvent*) override;

 private:
  void Fit();

  std::vector<QImage> images_;
  std::vector<QLabel*> labels_;
  int pages_ = 0;
};

}  // namespace app::viewer
