#include "app/viewer/trends_sheet.h"

#include <QFileDialog>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPainter>
#include <QPushButton>
#include <QScrollArea>
#include <QSettings>
#include <QVBoxLayout>

#include "app/viewer/reading_words.h"

namespace app::viewer {
namespace {

constexpr double kWidthMm = 178, kPxPerMm = 5, kMarginMm = 3;  // letters of 2.5 mm are 12 pixels high

int Px(double mm) { return static_cast<int>(mm * kPxPerMm); }

/// A figure of the record on white, since its inks are those of paper.
class FigureView : public QWidget {
 public:
  FigureView(report::Figure figure, const report::Wording& wording) : figure_(std::move(figure)), wording_(wording) {
    setFixedSize(Px(figure_.width_mm + 2 * kMarginMm), Px(figure_.height_mm + 2 * kMarginMm));
    setObjectName("figure");
    setAccessibleName(wording_(figure_.title));
  }

 private:
  void paintEvent(QPaintEvent*) override {
    QPainter painter(this);
    painter.fillRect(rect(), Qt::white);
    painter.setRenderHint(QPainter::Antialiasing);
    painter.translate(Px(kMarginMm), Px(kMarginMm));
    painter.scale(kPxPerMm / 10, kPxPerMm / 10);
    figure_.paint(painter, wording_);
  }

  report::Figure figure_;
  const report::Wording& wording_;
};

/// Puts each kind of block that trends are made of into a column of widgets.
struct Column {
  QVBoxLayout& column;
  const report::Wording& wording;

  void Text(const QString& text, bool strong) const {
    auto* label = new QLabel(text);
    label->setWordWrap(true);
    QFont font = label->font();
    font.setBold(strong);
    label->setFont(font);
    label->setFixedWidth(Px(kWidthMm + 2 * kMarginMm));
    column.addWidget(label);
  }
  void operator()(const report::Heading& heading) const { Text(wording(heading.text), true); }
  void operator()(const report::Paragraph& paragraph) const { Text(wording(paragraph.text), false); }
  void operator()(const report::Figure& figure) const {
    column.addWidget(new FigureView(figure, wording));
    if (!figure.text.empty()) Text(wording(figure.text), false);
  }
  template <typename Other>
  void operator()(const Other&) const {}  // trends have no tables, notices or lines to sign
};

report::Wording InLanguage(const QString& code) {
  report::HousePaper paper;
  paper.language = code.toStdString();
  return report::Wording::Of(paper);
}

/// Reads the book; in the job's thread, since a connection belongs to one.
vision::Result<trends::Found> Read(const std::string& address) {
  auto book = book::Book::Open(address, {.read_only = true, .evidence_folder = {}});
  if (!book.ok()) return book.error();
  return trends::Ask(*book.value());
}

}  // namespace

TrendsSheet::TrendsSheet(QWidget* parent)
    : QDialog(parent),
      //: ISO 639-1 code of the language this is translated into.
      wording_(InLanguage(tr("en"))),
      address_(new QLineEdit),
      said_(new QLabel),
      csv_(new QPushButton(tr("Save as &CSV…"))),
      page_(new QWidget) {
  setWindowTitle(tr("Trends of a joint book"));
  setObjectName("trends_sheet");
  resize(1000, 860);
  auto* column = new QVBoxLayout(this);
  auto* row = new QHBoxLayout;
  address_->setObjectName("book_address");
  address_->setAccessibleName(tr("Joint book"));
  address_->setPlaceholderText(tr("a joint book's file, or postgresql://user@host/database"));
  address_->setText(QSettings().value("book").toString());
  auto* pick = new QPushButton(tr("&Book…"));
  auto* show = new QPushButton(tr("&Show"));
  show->setDefault(true);
  csv_->setEnabled(false);
  for (QWidget* part : std::initializer_list<QWidget*>{pick, address_, show, csv_}) row->addWidget(part);
  column->addLayout(row);
  said_->setWordWrap(true);
  said_->setObjectName("said");
  column->addWidget(said_);
  auto* scroll = new QScrollArea;
  scroll->setWidgetResizable(true);
  scroll->setWidget(page_);
  column->addWidget(scroll, 1);
  auto* caution = new QLabel(Words::Supports());
  caution->setWordWrap(true);
  column->addWidget(caution);
  new QVBoxLayout(page_);
  Say(tr("Counts of outcomes over all joints of a book. The book is only read."));
  connect(pick, &QPushButton::clicked, this, [this] {
    const QString file = QFileDialog::getOpenFileName(this, tr("Joint book"));
    if (!file.isEmpty()) ShowBook(file);
  });
  connect(show, &QPushButton::clicked, this, [this] { ShowBook(address_->text()); });
  connect(&jobs_, &JobRunner::broke, this, &TrendsSheet::Say);
  connect(csv_, &QPushButton::clicked, this, [this] {
    const QString folder = QFileDialog::getExistingDirectory(this, tr("Folder for the CSV files"));
    if (!folder.isEmpty()) SaveCsv(folder);
  });
}

void TrendsSheet::ShowBook(const QString& address) {
  address_->setText(address.trimmed());
  if (address_->text().isEmpty()) return Say(tr("Give the joint book: a file, or the address of a server."));
  const bool started = jobs_.Start(tr("Reading the book"), [this, asked = address_->text()](const auto&) {
    auto found = Read(asked.toStdString());
    return JobRunner::Finish([this, asked, found = std::move(found)] {
      found_.reset();
      if (found.ok()) found_ = found.value();
      Fill();
      Say(found.ok() ? tr("Read from %1.").arg(QString::fromStdString(found_->book))
                     : QString::fromStdString(found.error().message));
      if (!found.ok()) return emit refused();
      QSettings().setValue("book", QString::fromStdString(found_->book));
      emit shown();
    });
  });
  if (started) Say(tr("Reading the book …"));
}

void TrendsSheet::Fill() {
  csv_->setEnabled(found_.has_value());
  qDeleteAll(page_->findChildren<QWidget*>(Qt::FindDirectChildrenOnly));
  delete page_->layout();
  auto* column = new QVBoxLayout(page_);
  if (found_) {
    QStringList names;
    for (const auto* outcomes : {&found_->welders, &found_->inserts})
      for (const auto& one : *outcomes) names << QString::fromStdString(one.name);
    wording_.Keep(names);
    for (const auto& block : report::TrendBlocks(trends::ToDraw(*found_), kWidthMm))
      std::visit(Column{*column, wording_}, block);
  }
  column->addStretch(1);
}

void TrendsSheet::SaveCsv(const QString& folder) {
  if (!found_) return;
  const auto files = trends::WriteCsv(*found_, folder.toStdString());
  if (!files.ok()) return Say(QString::fromStdString(files.error().message));
  QStringList names;
  for (const auto& file : files.value()) names << QString::fromStdString(file.string());
  Say(tr("Written: %1").arg(names.join(", ")));
}

void TrendsSheet::Say(const QString& sentence) { said_->setText(sentence); }

}  // namespace app::viewer
