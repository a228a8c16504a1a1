#pragma once

#include <QCoreApplication>
#include <QString>

#include "vision/live/watch.h"

namespace app::viewer {

/// Every text of the live view that is not fixed.
class LiveWords {
  Q_DECLARE_TR_FUNCTIONS(app::viewer::LiveWords)
 public:
  static QString Of(vision::live::Hint hint);
  static QString Why(const std::string& why);  ///< Why the camera is not followed; empty for empty.
  /// @param screen From a frame's arrival until it was painted. @param over The run has ended.
  static QString Figures(const vision::live::WatchFigures& figures, const vision::live::Times& screen, bool over);
  static QString Guide();  ///< That nothing here is a measurement.
};

}  // namespace app::viewer
