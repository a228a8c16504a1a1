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
  setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  setVerticalScrollBarPolicy(Qt::ScrollBarAlwaysOn);  // else the width would depend on the height
}

void PagesView::Show(const std::vector<QImage>& pages) {
  labels_.clear();
  auto* sheet = new QWidget;
  auto* column = new QVBoxLayout(sheet);
  column->setSpacing(12);
  pages_ = static_cast<int>(pages.size());
  for (int i = 0; i < pages_; ++i) {
    auto* page = new QLabel;
    page->setAccessibleName(tr("Page %1 of %2").arg(i + 1).arg(pages_));
    column->addWidget(page);
    labels_.push_back(page);
  }
  images_ = pages;
  setWidget(sheet);  // the one before goes
  Fit();
}

void PagesView::resizeEvent(QResizeEvent* event) {
  QScrollArea::resizeEvent(event);
  Fit();
}

void PagesView::Fit() {
  if (!widget()) return;
  const auto margins = widget()->layout()->contentsMargins();
  const int room = viewport()->width() - margins.left() - margins.right();
  for (std::size_t i = 0; i < labels_.size(); ++i) {
    const QImage& image = images_[i];
    const int width = std::min(room, image.width());
    labels_[i]->setPixmap(QPixmap::fromImage(image.scaledToWidth(width, Qt::SmoothTransformation)));
  }
  widget()->adjustSize();
}

}  // namespace app::viewer
