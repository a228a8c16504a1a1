#pragma once

#include <QDialog>

#include "vision/live/watch.h"

class QComboBox;
class QFormLayout;
class QLabel;
class QLineEdit;

namespace app::viewer {

/// Asks what is needed to follow a camera: source, joint, camera, which way it looks, and where to record to.
class LiveSheet : public QDialog {
  Q_OBJECT
 public:
  /// @param joint_file Of the joint that is open; may be empty.
  explicit LiveSheet(const QString& joint_file, QWidget* parent = nullptr);
  const vision::live::WatchOptions& options() const { return options_; }
  bool clock_known() const { return clock_known_; }  ///< Was the picture's up given?

 private:
  void accept() override;
  void FillCameras();
  QLineEdit* AddFileRow(QFormLayout* form, const QString& label, const char* name, bool saved);

  QLineEdit *source_, *joint_, *up_, *record_;
  QComboBox *camera_, *looks_;
  QLabel* wrong_;
  vision::live::WatchOptions options_;
  bool clock_known_ = false;
};

}  // namespace app::viewer
