#pragma once

#include <QDialog>

#include "app/viewer/desk.h"

class QComboBox;
class QLineEdit;
class QLabel;
class QPlainTextEdit;

namespace app::viewer {

/// Asks for everything about one annotation but its place. Shows its measured size.
class NoteSheet : public QDialog {
  Q_OBJECT
 public:
  NoteSheet(const Desk& desk, notes::Note note, QWidget* parent = nullptr);
  notes::Note note() const;
  QString author() const;

 private:
  void accept() override;

  notes::Note note_;
  QComboBox *kind_, *status_;
  QPlainTextEdit* text_;
  QLineEdit *reason_, *author_;
  QLabel* wrong_;
};

}  // namespace app::viewer
