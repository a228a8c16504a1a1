#pragma once

#include <QDialog>
#include <functional>

#include "app/report/report.h"
#include "app/viewer/desk.h"
#include "app/viewer/job_runner.h"
#include "app/viewer/printing.h"

class QCheckBox;
class QComboBox;
class QLabel;
class QLineEdit;
class QPushButton;

namespace app::viewer {

class PagesView;

/// The report before it is written: its pages as they come on paper, where it goes, on whose paper, in which language.
class ReportSheet : public QDialog {
  Q_OBJECT
 public:
  explicit ReportSheet(Desk& desk, QWidget* parent = nullptr);

  const PagesView& pages() const { return *pages_; }

  /// Which printer, and how; a test answers for the person.
  std::function<bool(QPrinter&, QWidget*)> ask_printer = AskForPrinter;

 signals:
  void shown();  ///< The pages as they would be written now.
  void written(const QString& html);
  void printed();
  void refused(const QString& sentence);

 private:
  QWidget* MakeChoices();
  QWidget* WithButton(QLineEdit* line, const QString& words, std::function<QString()> ask);
  void Preview();
  void Write();
  void PrintPages();
  void Say(const QString& sentence);
  /// @return nullopt after the sheet has said why.
  std::optional<report::ReportInput> Input();
  report::ReportOptions Options() const;

  Desk& desk_;
  PagesView* pages_;
  QLineEdit *folder_, *paper_;
  QComboBox *size_, *language_;
  QCheckBox* inches_;
  QLabel* said_;
  QPushButton* write_;
  bool again_ = false;  ///< Something was chosen while pages were being set.
  JobRunner jobs_;
};

}  // namespace app::viewer
