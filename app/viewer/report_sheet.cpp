#include "app/viewer/report_sheet.h"

#include <QCheckBox>
#include <QComboBox>
#include <QFileDialog>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPrinter>
#include <QPushButton>
#include <QSettings>

#include "app/report/page_pictures.h"
#include "app/viewer/buttons.h"
#include "app/viewer/job_bar.h"
#include "app/viewer/on_screen.h"
#include "app/viewer/pages_view.h"
#include "app/viewer/record_now.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

QString Q(const std::string& text) { return QString::fromStdString(text); }

}  // namespace

ReportSheet::ReportSheet(Desk& desk, QWidget* parent)
    : QDialog(parent),
      desk_(desk),
      pages_(new PagesView),
      folder_(new QLineEdit(Q(desk.opened().folder.string()))),
      paper_(new QLineEdit(QSettings().value("company_paper").toString())),
      size_(new QComboBox),
      language_(new QComboBox),
      inches_(new QCheckBox(tr("&Inches beside millimetres"))),
      said_(new QLabel(Words::Supports())),
      write_(new QPushButton(tr("&Write the report"))) {
  setWindowTitle(tr("Report"));
  setObjectName("report_sheet");
  resize(OnScreen(*this, {1240, 800}));
  auto* row = new QHBoxLayout(this);
  row->addWidget(pages_, 3);
  row->addWidget(MakeChoices(), 1);
  connect(&jobs_, &JobRunner::broke, this, &ReportSheet::Say);
  CloseWithJoint(desk_, *this);
  Preview();
}

QWidget* ReportSheet::WithButton(QLineEdit* line, const QString& words, std::function<QString()> ask) {
  auto* box = new QWidget;
  auto* row = new QHBoxLayout(box);
  row->setContentsMargins(0, 0, 0, 0);
  auto* button = new QPushButton(tr("Choose…"));
  button->setAccessibleName(tr("Choose: %1").arg(words));
  line->setAccessibleName(words);
  connect(button, &QPushButton::clicked, line, [line, ask = std::move(ask)] {
    if (const QString chosen = ask(); !chosen.isEmpty()) line->setText(chosen);
  });
  row->addWidget(line, 1);
  row->addWidget(button);
  return box;
}

QWidget* ReportSheet::MakeChoices() {
  auto* box = new QWidget;
  auto* column = new QVBoxLayout(box);
  auto* form = new QFormLayout;
  form->setRowWrapPolicy(QFormLayout::WrapAllRows);
  folder_->setObjectName("report_folder"), paper_->setObjectName("report_paper"), write_->setObjectName("report_write");
  form->addRow(tr("Into the &folder"), WithButton(folder_, tr("Folder of the report"), [this] {
                 return QFileDialog::getExistingDirectory(this, tr("Folder of the report"), folder_->text());
               }));
  size_->addItems({"A4", "Letter"});
  size_->setAccessibleName(tr("Page"));
  form->addRow(tr("&Page"), size_);
  for (const auto& [code, words] : Words::Languages()) language_->addItem(words, code);
  language_->setCurrentIndex(language_->findData(Words::Language()));
  language_->setObjectName("report_language");
  language_->setAccessibleName(tr("Language of the record"));
  form->addRow(tr("&Language of the record"), language_);
  form->addRow(tr("&Company's paper"), WithButton(paper_, tr("Company's paper"), [this] {
                 return QFileDialog::getOpenFileName(this, tr("Company's paper"), {}, "*.json");
               }));
  paper_->setPlaceholderText(tr("none"));
  inches_->setChecked(desk_.units().inches);
  form->addRow(inches_);
  column->addLayout(form);
  said_->setWordWrap(true);
  said_->setObjectName("report_said");
  column->addWidget(said_);
  column->addWidget(new JobBar(jobs_));
  column->addStretch(1);
  auto* buttons = CloseOnly();
  buttons->addButton(write_, QDialogButtonBox::ActionRole);
  auto* print = buttons->addButton(tr("P&rint…"), QDialogButtonBox::ActionRole);
  print->setObjectName("report_print");
  connect(print, &QPushButton::clicked, this, &ReportSheet::PrintPages);
  column->addWidget(buttons);
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::close);
  connect(write_, &QPushButton::clicked, this, &ReportSheet::Write);
  for (QComboBox* choice : {size_, language_})
    connect(choice, &QComboBox::currentIndexChanged, this, &ReportSheet::Preview);
  connect(inches_, &QCheckBox::toggled, this, &ReportSheet::Preview);
  connect(paper_, &QLineEdit::textChanged, this, &ReportSheet::Preview);
  return box;
}

report::ReportOptions ReportSheet::Options() const {
  report::ReportOptions options;
  options.paper = size_->currentText() == "Letter" ? report::Paper::kLetter : report::Paper::kA4;
  options.inches = inches_->isChecked();
  return options;
}

std::optional<report::ReportInput> ReportSheet::Input() {
  if (!desk_.has()) return std::nullopt;
  auto input = RecordNow(desk_);
  input.paper = {};
  if (const QString file = paper_->text().trimmed(); !file.isEmpty()) {
    auto paper = report::LoadPaper(file.toStdString());
    if (!paper.ok()) return Say(Q(paper.error().message)), std::nullopt;
    input.paper = std::move(paper).value();
  }
  // A company's paper may have a language of its own; what is chosen here in another one is meant.
  if (const QString code = language_->currentData().toString(); code != "en") input.paper.language = code.toStdString();
  return input;
}

void ReportSheet::Preview() {
  if (jobs_.busy()) {
    again_ = true;
    return;
  }
  const auto input = Input();
  if (!input) return;
  jobs_.Start({}, [this, input = *input, options = Options()](const vision::JobContext& job) -> JobRunner::Finish {
    auto pages = report::PagesOf(input, options, PagesView::kDotsPerMm, job);
    return [this, pages = std::move(pages)] {
      if (std::exchange(again_, false)) return Preview();
      if (pages.cancelled()) return;
      if (!pages.ok()) return Say(Q(pages.error().message));
      pages_->Show(pages.value());
      said_->setText(Words::Supports());
      emit shown();
    };
  });
}

void ReportSheet::Write() {
  const auto input = Input();
  if (!input) return;
  const std::filesystem::path out = folder_->text().trimmed().toStdString();
  if (out.empty()) return Say(tr("Say into which folder the report goes."));
  const std::filesystem::path measured = desk_.opened().folder;
  QSettings().setValue("company_paper", paper_->text().trimmed());
  const auto work = [this, input = *input, out, measured,
                     options = Options()](const vision::JobContext& job) -> JobRunner::Finish {
    auto files = report::WriteReport(input, out, options, job);
    vision::Status failed;
    if (files.ok()) failed = vision::WriteFileWhole(measured / "verdict.json", joint::ToJson(input.verdict));
    return [this, files, failed] {
      if (files.cancelled()) return;
      if (!files.ok()) return Say(Q(files.error().message));
      if (failed) return Say(Q(failed->message));
      said_->setText(tr("Written: %1").arg(Q(files.value().pdf.string())));
      emit written(Q(files.value().html.string()));
    };
  };
  if (!jobs_.Start({}, work)) Say(tr("The pages are still being set; try again in a moment."));
}

void ReportSheet::PrintPages() {
  const auto input = Input();
  if (!input) return;
  auto printer = std::make_shared<QPrinter>(QPrinter::HighResolution);
  printer->setPageSize(QPageSize(Options().paper == report::Paper::kLetter ? QPageSize::Letter : QPageSize::A4));
  printer->setDocName(Q(desk_.opened().joint.id));
  if (!ask_printer(*printer, this)) return;
  const auto work = [this, input = *input, printer, options = Options()](const vision::JobContext& job) {
    auto pages = report::PagesOf(input, options, kPrintedDotsPerMm, job);
    return JobRunner::Finish([this, printer, pages = std::move(pages)] {
      if (pages.cancelled()) return;
      if (!pages.ok()) return Say(Q(pages.error().message));
      if (const auto failed = Print(pages.value(), kPrintedDotsPerMm, *printer)) return Say(Q(failed->message));
      said_->setText(tr("%1 pages went to the printer.").arg(pages.value().size()));
      emit printed();
    });
  };
  if (!jobs_.Start({}, work)) Say(tr("The pages are still being set; try again in a moment."));
}

void ReportSheet::Say(const QString& sentence) {
  said_->setText(sentence);
  emit refused(sentence);
}

}  // namespace app::viewer
