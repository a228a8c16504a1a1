#include "app/viewer/handbook_sheet.h"

#include <QHBoxLayout>
#include <QLineEdit>
#include <QListWidget>
#include <QTextBrowser>

#include "app/viewer/buttons.h"
#include "app/viewer/on_screen.h"

namespace app::viewer {

HandbookSheet::HandbookSheet(QWidget* parent)
    : QDialog(parent),
      language_(tr("en")),  // its translation is the code of the language
      chapters_(handbook::Chapters(language_)),
      search_(new QLineEdit),
      list_(new QListWidget),
      text_(new QTextBrowser) {
  setWindowTitle(tr("Handbook"));
  setObjectName("handbook_sheet");
  resize(OnScreen(*this, {960, 680}));
  search_->setObjectName("handbook_search");
  search_->setPlaceholderText(tr("Search the handbook"));
  search_->setClearButtonEnabled(true);
  list_->setObjectName("handbook_list");
  list_->setAccessibleName(tr("Chapters, or what was found"));
  list_->setWordWrap(true);
  list_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  text_->setObjectName("handbook_text");
  text_->setAccessibleName(tr("Text of the chapter"));
  text_->setOpenLinks(false);
  QPalette paper = text_->palette();  // the sketches are drawn on white
  paper.setColor(QPalette::Base, Qt::white), paper.setColor(QPalette::Text, Qt::black);
  text_->setPalette(paper);
  auto* row = new QHBoxLayout;
  auto* left = new QVBoxLayout;
  left->addWidget(search_);
  left->addWidget(list_, 1);
  row->addLayout(left, 1);
  row->addWidget(text_, 3);
  auto* column = new QVBoxLayout(this);
  column->addLayout(row, 1);
  auto* buttons = CloseOnly();
  connect(buttons, &QDialogButtonBox::rejected, this, &QDialog::reject);
  column->addWidget(buttons);
  connect(search_, &QLineEdit::textChanged, this, &HandbookSheet::Fill);
  connect(list_, &QListWidget::currentRowChanged, this, &HandbookSheet::ShowRow);
  Fill({});
  list_->setCurrentRow(0);
  search_->setFocus();
}

void HandbookSheet::Fill(const QString& words) {
  hits_ = handbook::Find(chapters_, words);
  const QSignalBlocker quiet(list_);
  list_->clear();
  if (words.trimmed().isEmpty()) {
    for (const auto& chapter : chapters_) list_->addItem(chapter.title);
    list_->setCurrentRow(shown_);
    return;
  }
  for (const auto& hit : hits_) list_->addItem(hit.heading + "\n" + hit.text.left(110));
  if (hits_.empty()) {
    list_->addItem(tr("Nothing found. Fewer words, or a part of one, find more."));
    list_->item(0)->setFlags(Qt::NoItemFlags);
  }
}

void HandbookSheet::ShowRow(int row) {
  if (row < 0) return;
  const bool chapter_list = search_->text().trimmed().isEmpty();
  if (!chapter_list && static_cast<std::size_t>(row) >= hits_.size()) return;
  const int chapter = chapter_list ? row : hits_[static_cast<std::size_t>(row)].chapter;
  if (chapter != shown_) {
    auto* before = document_;
    document_ = handbook::DocumentOf(chapters_[static_cast<std::size_t>(chapter)], language_).release();
    document_->setParent(text_);
    text_->setDocument(document_);
    delete before;
    shown_ = chapter;
  }
  text_->moveCursor(QTextCursor::Start);
  if (chapter_list) return;
  // The place: its heading, then the first of the words from there on.
  text_->find(hits_[static_cast<std::size_t>(row)].heading);
  text_->find(search_->text().simplified().section(' ', 0, 0));
}

void HandbookSheet::ShowChapter(const QString& name) {
  search_->clear();
  for (std::size_t i = 0; i < chapters_.size(); ++i)
    if (chapters_[i].name == name) list_->setCurrentRow(static_cast<int>(i));
}

void HandbookSheet::Search(const QString& words) { search_->setText(words); }

}  // namespace app::viewer
