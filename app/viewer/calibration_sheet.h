#pragma once

#include <QDialog>
#include <filesystem>
#include <string>

#include "app/viewer/job_runner.h"
#include "vision/base/result.h"
#include "vision/camera/calibrate.h"

class QBoxLayout;
class QLabel;
class QLineEdit;
class QPushButton;

namespace app::viewer {

/// What calibrating a camera is, whatever its pictures show: they are dropped or added, a lens is fitted to them, and
/// what it became is kept in the library under a name and the pictures' day.
class CalibrationSheet : public QDialog {
  Q_OBJECT
 public:
  virtual void AddFiles(const QStringList& files) = 0;
  std::filesystem::path kept() const { return kept_; }  ///< The file in the library; empty = not saved yet.

 signals:
  void calibrated();
  void refused(const QString& sentence);
  void saved();

 protected:
  CalibrationSheet(std::filesystem::path library, QWidget* parent);

  /// What is said, the bar of what is being done, name and day, and the buttons that save and close.
  /// @param names Begins the fields' object names. @param first What is said before any picture is there.
  void AddFoot(QBoxLayout& column, const QString& names, const QString& first);
  void Say(const QString& sentence);  ///< That something cannot be.
  /// What was fitted, as an entry of the library; asked for only while `save_` is enabled.
  virtual vision::Result<std::string> Block(const vision::camera::CameraBlockFacts& facts) const = 0;

  void dragEnterEvent(QDragEnterEvent*) override;
  void dropEvent(QDropEvent*) override;

  std::filesystem::path library_, kept_;
  QLabel* said_;
  QPushButton* save_;
  JobRunner jobs_;

 private:
  void Save();

  QLineEdit *id_, *date_;
};

}  // namespace app::viewer
