#pragma once

#include <QCoreApplication>
#include <QString>

#include "app/viewer/timeline_data.h"

namespace app::viewer {

/// Words for a sorted recording.
class TimelineWords {
  Q_DECLARE_TR_FUNCTIONS(app::viewer::TimelineWords)
 public:
  static QString Name(vision::scan::Shows shows);
  static QString Short(vision::scan::Shows shows);  ///< One or two letters, no two alike.
  static QString Span(double from_s, double to_s);
  /// A reason that vision/scan gives, in the person's language; an unknown one as it stands.
  static QString Why(const vision::scan::WhyNotProposed& why);
  /// What is known of a moment: when, what is shown, what was refused or proposed and why. Plain text.
  static QString AtTime(const vision::scan::Scanned& scanned, double time_s);
  /// The whole recording in one sentence: how long, how many welds, how many stretches to measure by, writing in it.
  static QString Whole(const Timeline& timeline);
};

}  // namespace app::viewer
