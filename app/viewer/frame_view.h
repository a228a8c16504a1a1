#pragma once

#include <QWidget>

#include "app/viewer/lens_view.h"

namespace app::viewer {

/// The whole source frame that the lens shows, with toes, clock and the strip's borders drawn on it, in the room that
/// the page leaves below its lines; away where there is none.
class FrameView : public QWidget {
  Q_OBJECT
 public:
  FrameView(Desk& desk, Comparison& comparison, PageView& page, LensView& lens);

  void SetWanted(bool wanted);

 protected:
  void paintEvent(QPaintEvent*) override;

 private:
  void Settle();  ///< Into the room that is free now.

  Desk& desk_;
  Comparison& comparison_;
  PageView& page_;
  LensView& lens_;
  bool wanted_ = true;
};

}  // namespace app::viewer
