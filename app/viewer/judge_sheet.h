#pragma once

#include <QDialog>

#include "app/viewer/desk.h"

class QComboBox;
class QLabel;
class QTableWidget;

namespace app::viewer {

/// The verdict: which criterion, which rule decides and why, every rule with where it stands and how far it can be
/// trusted. Supports and never replaces the qualified examiner, and says so.
class JudgeSheet : public QDialog {
  Q_OBJECT
 public:
  explicit JudgeSheet(Desk& desk, QWidget* parent = nullptr);

 signals:
  void placeAsked(double theta_deg, double z_mm);
  void reportAsked();

 private:
  void Fill();

  Desk& desk_;
  QComboBox* criterion_;
  QLabel *disposition_, *notes_;
  QTableWidget* rules_;
};

}  // namespace app::viewer
