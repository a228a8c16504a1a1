#pragma once

#include <QImage>
#include <filesystem>
#include <memory>
#include <vector>

#include "app/viewer/calibration_sheet.h"
#include "vision/camera/calibrate.h"

class QLabel;
class QLineEdit;
class QListWidget;
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
class CameraSheet : public CalibrationSheet {
  Q_OBJECT
 public:
  explicit CameraSheet(std::filesystem::path library, QWidget* parent = nullptr);

  void AddFiles(const QStringList& files) override;
  const std::optional<vision::camera::CalibrationReport>& report() const { return report_; }

 private:
  vision::Result<std::string> Block(const vision::camera::CameraBlockFacts& facts) const override;
  QWidget* MakeBoardRow();
  void Calibrate();
  void Show(BoardPictures found, vision::Result<vision::camera::CalibrationReport> report);
  void PrintBoard();
  void WithoutBoard();

  QStringList files_;
  std::optional<vision::camera::CalibrationReport> report_;
  QSpinBox *columns_, *rows_;
  QLineEdit* square_;
  QListWidget* list_;
  QLabel *coverage_, *errors_;
};

}  // namespace app::viewer
