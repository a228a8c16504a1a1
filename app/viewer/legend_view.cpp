#include "app/viewer/legend_view.h"

#include <QPainter>
#include <algorithm>
#include <cmath>

#include "app/viewer/data_texts.h"
#include "app/viewer/marking.h"

namespace app::viewer {
namespace {

constexpr double kRow = 16, kSwatch = 22, kGap = 14;

}  // namespace

LegendView::LegendView(QWidget* parent) : QWidget(parent) {
  setObjectName("legend");
  setAccessibleName(tr("Legend"));
  QSizePolicy policy(QSizePolicy::Preferred, QSizePolicy::Fixed);
  policy.setHeightForWidth(true);
  setSizePolicy(policy);
  QFont small = font();
  small.setPixelSize(11);
  setFont(small);
}

QString LegendView::WordsOf(marks::Means means) {
  const auto words = marks::MarkOf(means).words;
  return QCoreApplication::translate(kDataContext, std::string(words).c_str());
}

void LegendView::Show(const std::vector<marks::Means>& means) {
  if (means == means_) return;
  means_ = means;
  QStringList all;
  for (const auto one : means_) all << WordsOf(one);
  setAccessibleDescription(all.join("; "));
  setFixedHeight(heightForWidth(width()));
  update();
}

std::vector<QRectF> LegendView::Places(double width) const {
  const QFontMetricsF metrics(font());
  std::vector<QRectF> places;
  double x = 2, y = 0, high = kRow;
  for (const auto one : means_) {
    const double wide = std::min(width - 4, kSwatch + 6 + metrics.horizontalAdvance(WordsOf(one)));
    if (x > 2 && x + wide > width - 2) x = 2, y += high, high = kRow;
    const QRectF words = metrics.boundingRect(QRectF(0, 0, wide - kSwatch - 5, 1000), Qt::TextWordWrap, WordsOf(one));
    high = std::max(high, std::ceil(words.height()) + 2);
    places.emplace_back(x, y, wide, std::max(kRow, std::ceil(words.height()) + 2));
    x += wide + kGap;
  }
  return places;
}

int LegendView::heightForWidth(int width) const {
  const auto places = Places(width);
  double bottom = 0;
  for (const QRectF& place : places) bottom = std::max(bottom, place.bottom());
  return places.empty() ? 0 : static_cast<int>(std::ceil(bottom)) + 2;
}

void LegendView::resizeEvent(QResizeEvent*) {
  if (const int high = heightForWidth(width()); high != height()) setFixedHeight(high);
}

void LegendView::paintEvent(QPaintEvent*) {
  QPainter painter(this);
  const auto places = Places(width());
  for (std::size_t i = 0; i < places.size(); ++i) {
    const QRectF& at = places[i];
    DrawSwatch(painter, QRectF(at.left(), at.top() + 2, kSwatch, kRow - 4), means_[i]);
    painter.setPen(palette().color(QPalette::Text));
    painter.drawText(at.adjusted(kSwatch + 5, 0, 1, 0), Qt::AlignLeft | Qt::AlignVCenter | Qt::TextWordWrap,
                     WordsOf(means_[i]));
  }
}

}  // namespace app::viewer
