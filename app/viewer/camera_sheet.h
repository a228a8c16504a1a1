#pragma once

#include <QDialog>
#include <QImage>
#include <filesystem>
#include <memory>
#include <vector>

#include "app/viewer/job_runner.h"
#include "vision/camera/calibrate.h"

class QLabel;
class QLineEdit;
class QListWidget;
class QPushButton;
class QSpinBox;

namespace app::viewer {

/// Pictures of the board with the corners found in them.
struct BoardPictures {
  std::vector<QImage> thumbnails;                ///< One a picture, corners drawn in.
  std::vector<vision::camera::BoardView> views;  ///< Of the pictures in which the whole board was found.
  std::vector<std::string> said;                 ///< One a picture: what was found, or why not.
  std::vector<bool> found;
  int width_px = 0, height_px = 0;  ///< Of the first picture.
};

/// Reads pictures, folders of them and videos, and finds the board. @return kBadInput where nothing could be read.
vision::Result<BoardPictures> FindBoards(const std::vector<std::filesystem::path>& files,
                                         const vision::camera::Board& board, const vision::JobContext& job);

/// Where in the picture corners were seen, `across` cells wide, and where it is still uncovered.
QImage CoverageOf(const BoardPictures& pictures, int width);

/// How far the corners lie from where the lens shows them, as arrows drawn so many times longer; a bar tells the scale.
/// @param report Of the same pictures.
QImage ErrorMapOf(const BoardPictures& pictures, const vision::camera::CalibrationReport& report, int width);

/// From pictures of a board to a camera in the library: corners as found, what is uncovered, how far each picture is
/// off.
class CameraSheet : public QDialog {
  Q_OBJECT
 public:
  explicit CameraSheet(std::filesystem::path library, QWidget* parent = nullptr);

  void AddFiles(const QStringList& files);
  const std::optional<vision::camera::CalibrationReport>& report() const { return report_; }
  std::filesystem::path kept() const { return kept_; }  ///< The file in the library; empty = not saved yet.

 signals:
  void calibrated();
  void refused(const QString& sentence);
  void saved();

 protected:
  void dragEnterEvent(QDragEnterEvent*) override;
  void dropEvent(QDropEvent*) override;

 private:
  QWidget* MakeBoardRow();
  QWidget* MakeFoot();
  void Calibrate();
  void Show(BoardPictures found, vision::Result<vision::camera::CalibrationReport> report);
  void PrintBoard();
  void WithoutBoard();
  void Save();
  void Say(const QString& sentence);

  std::filesystem::path library_, kept_;
  QStringList files_;
  std::optional<vision::camera::CalibrationReport> report_;
  QSpinBox *columns_, *rows_;
  QLineEdit *square_, *id_, *date_;
  QListWidget* list_;
  QLabel *coverage_, *errors_, *said_;
  QPushButton* save_;
  JobRunner jobs_;
};

}  // namespace app::viewer
