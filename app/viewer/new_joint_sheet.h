#pragma once

#include <QDialog>

class QComboBox;
class QLabel;
class QLineEdit;

namespace app::viewer {

/// Starts a joint file: the bore, its source and the criterion, which has no default.
class NewJointSheet : public QDialog {
  Q_OBJECT
 public:
  explicit NewJointSheet(QWidget* parent = nullptr);
  QString file() const;

 private:
  void accept() override;

  QLineEdit *id_, *bore_, *source_, *file_, *frames_;
  QComboBox* criterion_;
  QLabel* wrong_;
};

}  // namespace app::viewer
