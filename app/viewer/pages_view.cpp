#include "app/viewer/pages_view.h"

#include <QLabel>
#include <QVBoxLayout>

namespace app::viewer {

PagesView::PagesView(QWidget* parent) : QScrollArea(parent) {
  setObjectName("pages");
  setAccessibleName(tr("Pages of the record"));
  setBackgroundRole(QPalette::Mid);
  setAlignment(Qt::AlignHCenter | Qt::AlignTop);
  setMinimumWidth(480);
}

void PagesView::Show(const std::vector<QImage>& pages) {
  auto* sheet = new QWidget;
  auto* column = new QVBoxLayout(sheet);
  column->setSpacing(12);
  pages_ = static_cast<int>(pages.size());
  for (int i = 0; i < pages_; ++i) {
    auto* page = new QLabel;
    page->setPixmap(QPixmap::fromImage(pages[static_cast<std::size_t>(i)]));
    page->setAccessibleName(tr("Page %1 of %2").arg(i + 1).arg(pages_));
    column->addWidget(page);
  }
  setWidget(sheet);  // the one before goes
}

}  // namespace app::viewer
