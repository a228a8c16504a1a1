#pragma once

#include <QDialog>
#include <QImage>
#include <optional>

namespace app::viewer {

/// A picture to click the datum's direction in (where 0 degrees lies on the wall).
class UpPicture : public QDialog {
  Q_OBJECT
 public:
  explicit UpPicture(const QString& file, QWidget* parent = nullptr);
  /// In px of the picture itself.
  const std::optional<QPointF>& clicked() const { return clicked_; }

 protected:
  void paintEvent(QPaintEvent*) override;
  void mousePressEvent(QMouseEvent*) override;

 private:
  QRectF Shown() const;

  QImage picture_;
  std::optional<QPointF> clicked_;
};

}  // namespace app::viewer
