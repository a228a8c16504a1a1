#pragma once

#include <QDialog>
#include <QImage>
#include <filesystem>
#include <vector>

#include "app/viewer/job_runner.h"
#include "vision/camera/wall_marks.h"

class QButtonGroup;
class QLabel;
class QLineEdit;
class QListWidget;
class QPushButton;

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
class MarksSheet : public QDialog {
  Q_OBJECT
 public:
  explicit MarksSheet(std::filesystem::path library, QWidget* parent = nullptr);

  void AddFiles(const QStringList& files);
  const std::optional<vision::camera::WallCalibration>& report() const { return report_; }
  std::filesystem::path kept() const { return kept_; }  ///< The file in the library; empty = not saved yet.

 signals:
  void calibrated();
  void refused(const QString& sentence);
  void saved();

 protected:
  void dragEnterEvent(QDragEnterEvent*) override;
  void dropEvent(QDropEvent*) override;

 private:
  struct Marked {
    QString file;
    QImage picture;
    std::array<MarkPicture::Points, 2> points;
  };

  QWidget* MakeFields();
  QWidget* MakeFoot();
  void ShowPicture(int row);
  void Calibrate();
  void Save();
  void Say(const QString& sentence);
  std::optional<vision::camera::WallTarget> Target();
  std::vector<vision::camera::MarkedView> Views(double apart_mm) const;

  std::filesystem::path library_, kept_;
  std::vector<Marked> pictures_;
  std::optional<vision::camera::WallCalibration> report_;
  QListWidget* list_;
  MarkPicture* picture_;
  QButtonGroup* mark_;
  QLineEdit *bore_, *bore_u_, *apart_, *apart_u_, *id_, *date_;
  QLabel* said_;
  QPushButton* save_;
  JobRunner jobs_;
};

}  // namespace app::viewer
