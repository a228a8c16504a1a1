#include "app/viewer/book_sheet.h"

#include <QDialogButtonBox>
#include <QFileDialog>
#include <QHBoxLayout>
#include <QHeaderView>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSettings>
#include <QTableWidget>
#include <QVBoxLayout>

#include "app/viewer/buttons.h"
#include "app/viewer/reading_words.h"

namespace app::viewer {

BookSheet::BookSheet(QWidget* parent)
    : QDialog(parent), address_(new QLineEdit), part_(new QLineEdit), joints_(new QTableWidget), said_(new QLabel) {
  setWindowTitle(tr("Open from a joint book"));
  setObjectName("book_sheet");
  resize(760, 520);
  auto* column = new QVBoxLayout(this);
  auto* row = new QHBoxLayout;
  auto* pick = new QPushButton(tr("&Book…"));
  auto* list = new QPushButton(tr("&List"));
  address_->setObjectName("book_address"), part_->setObjectName("book_part"), joints_->setObjectName("book_joints");
  address_->setAccessibleName(tr("Joint book")), part_->setAccessibleName(tr("Part of the joint's id"));
  address_->setPlaceholderText(tr("a joint book's file, or postgresql://user@host/database"));
  part_->setPlaceholderText(tr("part of the joint's id"));
  address_->setText(QSettings().value("book").toString());
  row->addWidget(pick);
  row->addWidget(address_, 3);
  row->addWidget(part_, 1);
  row->addWidget(list);
  column->addLayout(row);
  joints_->setEditTriggers(QAbstractItemView::NoEditTriggers);
  joints_->setSelectionBehavior(QAbstractItemView::SelectRows);
  joints_->setSelectionMode(QAbstractItemView::SingleSelection);
  joints_->setAccessibleName(tr("Joints of the book"));
  column->addWidget(joints_, 1);
  said_->setWordWrap(true);
  said_->setObjectName("book_said");
  said_->setText(tr("The newest reading of the joint is opened as it lies on the record; the book is only read."));
  column->addWidget(said_);
  auto* buttons = OkCancel();
  open_ = buttons->button(QDialogButtonBox::Ok);
  open_->setText(tr("Open"));
  open_->setEnabled(false);
  column->addWidget(buttons);
  connect(buttons, &QDialogButtonBox::accepted, this, &QDialog::accept);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  connect(pick, &QPushButton::clicked, this, [this] {
    const QString file = QFileDialog::getOpenFileName(this, tr("Joint book"));
    if (!file.isEmpty()) List(file);
  });
  connect(list, &QPushButton::clicked, this, [this] { List(address_->text(), part_->text()); });
  connect(joints_, &QTableWidget::itemSelectionChanged, this, [this] { open_->setEnabled(entry().has_value()); });
  connect(joints_, &QTableWidget::itemDoubleClicked, this, [this] { accept(); });
}

void BookSheet::List(const QString& address, const QString& part) {
  address_->setText(address.trimmed());
  const std::string asked = address_->text().toStdString(), id = part.trimmed().toStdString();
  if (asked.empty()) return said_->setText(tr("Give the joint book: a file, or the address of a server."));
  jobs_.Start({}, [this, asked, id](const vision::JobContext&) -> JobRunner::Finish {
    auto lines = JointsOf(asked, id);
    return [this, asked, lines = std::move(lines)] {
      Fill(lines.ok() ? lines.value() : std::vector<book::JointLine>());
      said_->setText(lines.ok() ? tr("%1 joints.").arg(lines.value().size()) + " " + Words::Supports()
                                : QString::fromStdString(lines.error().message));
      if (lines.ok()) QSettings().setValue("book", QString::fromStdString(asked));
      emit listed();
    };
  });
}

void BookSheet::Fill(const std::vector<book::JointLine>& lines) {
  joints_->clear();
  joints_->setColumnCount(6);
  joints_->setHorizontalHeaderLabels(
      {tr("Joint"), tr("Cycle"), tr("Line"), tr("Welded on"), tr("Disposition"), tr("Revision")});
  joints_->setRowCount(static_cast<int>(lines.size()));
  for (int i = 0; i < joints_->rowCount(); ++i) {
    const auto& line = lines[static_cast<std::size_t>(i)];
    int at = 0;
    for (const auto& text :
         {line.joint, line.cycle, line.line, line.welded_on, line.disposition, std::to_string(line.revision)})
      joints_->setItem(i, at++, new QTableWidgetItem(QString::fromStdString(text)));
  }
  joints_->resizeColumnsToContents();
  joints_->horizontalHeader()->setStretchLastSection(true);
  if (joints_->rowCount() > 0) joints_->selectRow(0);
}

std::optional<BookEntry> BookSheet::entry() const {
  const int row = joints_->currentRow();
  if (row < 0 || joints_->selectedItems().isEmpty()) return std::nullopt;
  return BookEntry{address_->text().toStdString(), joints_->item(row, 0)->text().toStdString(), {}};
}

}  // namespace app::viewer
