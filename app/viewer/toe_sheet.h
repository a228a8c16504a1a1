#pragma once

#include <QDialog>
#include <optional>

#include "app/viewer/desk.h"

class QCheckBox;
class QLabel;
class QLineEdit;

namespace app::viewer {

/// Asks why a toe is set by hand; where the same stretch was set before, whether this is one more placing of it.
class ToeSheet : public QDialog {
  Q_OBJECT
 public:
  /// @param before The toe set by hand over the same stretch, index into the notes.
  ToeSheet(const Desk& desk, notes::HandToe toe, std::optional<std::size_t> before, QWidget* parent = nullptr);

  notes::HandToe toe() const;  ///< With its reason.
  bool again() const;          ///< One more placing of the toe before.

 private:
  void accept() override;

  notes::HandToe toe_;
  QCheckBox* again_ = nullptr;
  QLineEdit* reason_;
  QLabel* wrong_;
};

}  // namespace app::viewer
