#pragma once

#include <QRectF>

namespace app::viewer {

/// Where a picture lies in `room`: as large as it fits, in the middle.
inline QRectF FittedInto(const QRectF& room, const QSizeF& picture) {
  QRectF where(QPointF(), picture.scaled(room.size(), Qt::KeepAspectRatio));
  where.moveCenter(room.center());
  return where;
}

}  // namespace app::viewer
