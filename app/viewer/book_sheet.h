#pragma once

#include <QDialog>
#include <optional>

#include "app/viewer/from_book.h"
#include "app/viewer/job_runner.h"

class QLabel;
class QLineEdit;
class QPushButton;
class QTableWidget;

namespace app::viewer {

/// Which joint of a joint book is to be opened. The book is only read.
class BookSheet : public QDialog {
  Q_OBJECT
 public:
  explicit BookSheet(QWidget* parent = nullptr);

  /// Lists the joints in the background; ends with listed(), also where the book cannot be read.
  void List(const QString& address, const QString& part = {});
  std::optional<BookEntry> entry() const;  ///< The row chosen.

 signals:
  void listed();

 private:
  void Fill(const std::vector<book::JointLine>& lines);

  QLineEdit *address_, *part_;
  QTableWidget* joints_;
  QLabel* said_;
  QPushButton* open_;
  JobRunner jobs_;  // last member: ends first
};

}  // namespace app::viewer
