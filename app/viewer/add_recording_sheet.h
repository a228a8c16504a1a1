#pragma once

#include <QDialog>

#include "app/joint/joint.h"

class QComboBox;
class QLabel;
class QLineEdit;

namespace app::viewer {

/// Adds a recording to the joint that is open: its stage, its files, its camera and how it looked.
class AddRecordingSheet : public QDialog {
  Q_OBJECT
 public:
  explicit AddRecordingSheet(const joint::Joint& joint, QWidget* parent = nullptr);
  std::string stage() const;

 private:
  void accept() override;

  joint::Joint joint_;
  QComboBox *stage_, *camera_, *looks_;
  QLineEdit *id_, *files_, *up_;
  QLabel* wrong_;
};

}  // namespace app::viewer
