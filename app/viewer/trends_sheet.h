#pragma once

#include <QDialog>
#include <optional>

#include "app/report/wording.h"
#include "app/trends/trends.h"
#include "app/viewer/job_runner.h"

class QLabel;
class QLineEdit;
class QPushButton;

namespace app::viewer {

/// What many joints of a book say together, drawn as on paper. The book is only read.
class TrendsSheet : public QDialog {
  Q_OBJECT
 public:
  explicit TrendsSheet(QWidget* parent = nullptr);

  /// Asks the book at `address` in the background; ends with shown() or a sentence in place of the figures.
  void ShowBook(const QString& address);
  /// Writes what is shown as CSV files into `folder` and says where.
  void SaveCsv(const QString& folder);
  const std::optional<trends::Found>& found() const { return found_; }

 signals:
  void shown();
  void refused();

 private:
  void Fill();
  void Say(const QString& sentence);

  std::optional<trends::Found> found_;
  report::Wording wording_;
  QLineEdit* address_;
  QLabel* said_;
  QPushButton* csv_;
  QWidget* page_;
  JobRunner jobs_;
};

}  // namespace app::viewer
