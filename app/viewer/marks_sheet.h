#pragma once

#include <QImage>
#include <array>
#include <vector>

#include "app/viewer/calibration_sheet.h"
#include "vision/camera/wall_marks.h"

class QButtonGroup;
class QLineEdit;
class QListWidget;

namespace app::viewer {

/// A picture with the points that a person sets on its two marks: a click sets one, a click with the other button takes
/// the nearest away.
class MarkPicture : public QWidget {
  Q_OBJECT
 public:
  using Points = std::vector<QPointF>;  ///< Pixels of the picture.

  explicit MarkPicture(QWidget* parent = nullptr);
  void Show(const QImage& picture, const std::array<Points, 2>& points);
  const std::array<Points, 2>& points() const { return points_; }
  void SetMark(int mark) { mark_ = mark; }  ///< 0 the nearer, 1 the farther.

 signals:
  void changed();

 protected:
  void paintEvent(QPaintEvent*) override;
  void mousePressEvent(QMouseEvent*) override;

 private:
  QRectF Shown() const;

  QImage picture_;
  std::array<Points, 2> points_;
  int mark_ = 0;
};

/// Where there is no board: pictures along a pipe of known bore with two scribed rings, or taped rulers whose first and
/// last mark count, to a camera in the library whose uncertainty is told.
class MarksSheet : public CalibrationSheet {
  Q_OBJECT
 public:
  explicit MarksSheet(std::filesystem::path library, QWidget* parent = nullptr);

  void AddFiles(const QStringList& files) override;
  const std::optional<vision::camera::WallCalibration>& report() const { return report_; }

 private:
  struct Marked {
    QString file;
    QImage picture;
    std::array<MarkPicture::Points, 2> points;
  };

  vision::Result<std::string> Block(const vision::camera::CameraBlockFacts& facts) const override;
  QWidget* MakeFields();
  void ShowPicture(int row);
  void Calibrate();
  std::optional<vision::camera::WallTarget> Target();
  std::vector<vision::camera::MarkedView> Views(double apart_mm) const;

  std::vector<Marked> pictures_;
  std::optional<vision::camera::WallCalibration> report_;
  QListWidget* list_;
  MarkPicture* picture_;
  QButtonGroup* mark_;
  QLineEdit *bore_, *bore_u_, *apart_, *apart_u_;
};

}  // namespace app::viewer
