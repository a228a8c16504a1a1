#pragma once

#include <QScreen>
#include <QWidget>

namespace app::viewer {

/// The size wanted, or what the widget's screen has room for.
inline QSize OnScreen(const QWidget& widget, QSize wanted) {
  return wanted.boundedTo(widget.screen()->availableSize() - QSize(16, 40));
}

}  // namespace app::viewer
