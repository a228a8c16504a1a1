#pragma once

#include <QDialog>
#include <map>

#include "app/viewer/desk.h"
#include "app/viewer/job_runner.h"
#include "app/viewer/record_steps.h"

class QComboBox;
class QFormLayout;
class QLabel;
class QLineEdit;
class QPushButton;

namespace app::viewer {

class PagesView;

/// The open joint into a joint book, its pages to look through, and the name of the person who examined it under them.
/// The program decides nothing: what is signed is what the person states.
class RecordSheet : public QDialog {
  Q_OBJECT
 public:
  explicit RecordSheet(Desk& desk, QWidget* parent = nullptr);

  /// Measures in the book; the pipeline unless replaced.
  book::MeasureFunction measure;
  const std::optional<OnRecord>& on_record() const { return on_record_; }
  QLineEdit* Line(const QString& name) const;

 signals:
  void shown();  ///< The pages of a revision: after it came into the book, after it was signed.
  void written(const QString& pdf);
  void refused(const QString& sentence);

 private:
  QWidget* MakeForm();
  void AddBookRows(QFormLayout* form);
  void AddPersonRows(QFormLayout* form);
  void AddKeyRows(QFormLayout* form);
  /// @param beside A button in the same row, or none.
  QLineEdit* AddLine(QFormLayout* form, const QString& name, const QString& words, const QString& hint = {},
                     QPushButton* beside = nullptr);
  void PutOnRecord();
  void MakeKey();
  void Sign();
  void Write();
  void Show(const vision::Result<OnRecord>& found);
  void Say(const QString& sentence);
  void Run(const QString& what, JobRunner::Work work);
  std::string Text(const QString& name) const;
  Look LookOf() const;

  Desk& desk_;
  PagesView* pages_;
  std::map<QString, QLineEdit*> lines_;
  QComboBox *recording_, *kind_;
  QLabel* said_;
  QPushButton *put_, *sign_, *write_;
  std::optional<OnRecord> on_record_;
  JobRunner jobs_;
};

}  // namespace app::viewer
