#include "app/viewer/judge_sheet.h"

#include <QComboBox>
#include <QHeaderView>
#include <QLabel>
#include <QPushButton>
#include <QTableWidget>
#include <QVBoxLayout>

#include "app/joint/criteria.h"
#include "app/viewer/buttons.h"
#include "app/viewer/on_screen.h"

namespace app::viewer {
namespace {

QString Q(const std::string& text) { return QString::fromStdString(text); }

}  // namespace

JudgeSheet::JudgeSheet(Desk& desk, QWidget* parent) : QDialog(parent), desk_(desk) {
  setWindowTitle(tr("Judge"));
  setObjectName("judge_sheet");
  resize(OnScreen(*this, {940, 620}));
  auto* column = new QVBoxLayout(this);
  criterion_ = new QComboBox;
  criterion_->setObjectName("criterion");
  criterion_->setAccessibleName(tr("Criterion"));
  if (desk_.has()) criterion_->addItem(Q(desk_.opened().joint.criterion));
  for (const auto& name : joint::ShippedCriteria())
    if (criterion_->findText(Q(name), Qt::MatchFixedString) < 0) criterion_->addItem(Q(name));
  criterion_->setCurrentIndex(criterion_->findText(Q(desk_.criteria().name), Qt::MatchFixedString));
  connect(criterion_, &QComboBox::textActivated, this,
          [this](const QString& name) { desk_.SetCriterion(name.toStdString()); });
  column->addWidget(criterion_);
  disposition_ = new QLabel;
  disposition_->setObjectName("disposition");
  disposition_->setWordWrap(true);
  QFont large = font();
  large.setPointSizeF(large.pointSizeF() * 1.4);
  large.setBold(true);
  disposition_->setFont(large);
  column->addWidget(disposition_);
  rules_ = new QTableWidget(0, 4);
  rules_->setObjectName("rules");
  rules_->setHorizontalHeaderLabels({tr("Outcome"), tr("Rule"), tr("Where it stands, how known"), tr("Why")});
  rules_->verticalHeader()->hide();
  rules_->setWordWrap(true);
  rules_->setEditTriggers(QAbstractItemView::NoEditTriggers);
  rules_->setSelectionBehavior(QAbstractItemView::SelectRows);
  rules_->horizontalHeader()->setSectionResizeMode(QHeaderView::Interactive);
  rules_->horizontalHeader()->setStretchLastSection(true);
  rules_->setColumnWidth(0, 110);
  rules_->setColumnWidth(1, 190);
  rules_->setColumnWidth(2, 210);
  connect(rules_->horizontalHeader(), &QHeaderView::sectionResized, rules_, &QTableWidget::resizeRowsToContents);
  rules_->setAccessibleName(tr("Rules and outcomes"));
  connect(rules_, &QTableWidget::cellActivated, this, [this](int row, int) {
    const auto& finding = desk_.verdict().findings[static_cast<std::size_t>(row)];
    if (finding.theta_deg) emit placeAsked(*finding.theta_deg, finding.z_mm.value_or(0));
  });
  column->addWidget(rules_);
  notes_ = new QLabel;
  notes_->setWordWrap(true);
  column->addWidget(notes_);
  auto* buttons = CloseOnly();
  auto* report = buttons->addButton(tr("&Report"), QDialogButtonBox::ActionRole);
  report->setObjectName("report");
  connect(report, &QPushButton::clicked, this, &JudgeSheet::reportAsked);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::close);
  column->addWidget(buttons);
  connect(&desk_, &Desk::changed, this, &JudgeSheet::Fill);
  connect(&desk_, &Desk::laidAside, this, &QDialog::close);
  Fill();
}

void JudgeSheet::Fill() {
  if (!desk_.has()) return;
  const auto& verdict = desk_.verdict();
  QString head = Words::Outcome(verdict.disposition);
  if (!verdict.decided_by.empty()) head += tr(" — decided by: %1").arg(Words::Sentence(verdict.decided_by));
  disposition_->setText(head);
  rules_->setRowCount(static_cast<int>(verdict.findings.size()));
  for (int row = 0; row < rules_->rowCount(); ++row) {
    const auto& finding = verdict.findings[static_cast<std::size_t>(row)];
    const QStringList cells{
        Words::Outcome(joint::WordsOf(finding.outcome)),
        Words::Sentence(finding.title) + (finding.iso6520.empty() ? "" : " (" + Q(finding.iso6520) + ")"),
        Q(finding.paragraph).replace(" and ", tr(" and ")) + "\n" + Words::Sentence(finding.how_known),
        Words::Said(finding.reason)};
    for (int column = 0; column < cells.size(); ++column) {
      auto* item = new QTableWidgetItem(cells[column]);
      item->setToolTip(cells[column]);
      QFont font = item->font();
      const bool decides = finding.title == verdict.decided_by && finding.outcome != joint::Outcome::kOverruled;
      font.setBold(decides || (column == 0 && finding.outcome == joint::Outcome::kBeyond));
      item->setFont(font);
      rules_->setItem(row, column, item);
    }
  }
  rules_->resizeRowsToContents();
  QStringList lines;
  for (const auto& note : verdict.notes) lines << tr("Note: %1").arg(Words::Said(note));
  lines << Words::Cautions();
  notes_->setText(lines.join("\n"));
}

}  // namespace app::viewer
