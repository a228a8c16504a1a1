#pragma once

#include <QDialog>

#include "app/viewer/opened.h"

class QComboBox;
class QFormLayout;
class QLabel;
class QLineEdit;

namespace app::viewer {

/// Starts a joint file from a person's answers; bore, criterion, camera and the way it looked have no default.
class NewJointSheet : public QDialog {
  Q_OBJECT
 public:
  /// @param bare A recording that waits for its joint file; empty: frames may be chosen here.
  explicit NewJointSheet(const Request& bare, QWidget* parent = nullptr);
  QString file() const;

 private:
  void accept() override;
  void AddRecordingRows(QFormLayout* form);
  QWidget* MakeLibrary();
  void ShowFiles(const QStringList& files);

  QLineEdit *id_, *bore_, *source_, *file_, *frames_, *frames_back_, *camera_;
  QComboBox *criterion_, *looks_, *stage_;
  QLabel* wrong_;
};

}  // namespace app::viewer
