#pragma once

#include <QWidget>
#include <optional>

#include "app/viewer/comparison.h"
#include "app/viewer/frame_store.h"
#include "app/viewer/page_view.h"

namespace app::viewer {

/// A lens laid over the strip: the source frame about the chosen place on one side, the strip magnified on the other,
/// the same point marked in both. May be dragged; steps through every frame that saw the place.
class LensView : public QWidget {
  Q_OBJECT
 public:
  LensView(Desk& desk, Comparison& comparison, PageView& page);

  void Step(int by);  ///< Next or previous frame that saw the place.
  void SetMagnification(double factor);
  double magnification() const { return magnification_; }
  void ShowWholeFrame(bool on);
  void SetDocked(bool on);  ///< Docked it stays where it is put; over the page it steps aside and may be dragged.
  /// Pixel marked in the frame, and which frame.
  std::optional<Sight> marked() const;
  QString Caption() const;  ///< Which frame of which recording, and how finely it shows the place.
  std::size_t frames_that_saw_it() const { return sights_.size(); }
  FrameStore& frames() { return store_; }  ///< Of the recording that is shown.

 signals:
  void stepped();  ///< Another frame, or moved: what lies beside it may have to move as well.

 protected:
  void paintEvent(QPaintEvent*) override;
  void mousePressEvent(QMouseEvent*) override;
  void mouseMoveEvent(QMouseEvent*) override;
  void mouseDoubleClickEvent(QMouseEvent*) override;
  void wheelEvent(QWheelEvent*) override;

 private:
  /// The recording whose frames and strip are shown: the open one, or the one laid on it.
  const Opened& shown() const { return comparison_.at_after() ? comparison_.other() : desk_.opened(); }
  notes::Place place() const;  ///< Of the cross-hair, in the recording that is shown.
  void Reload();
  void Look();
  void StepAside();  ///< Never lies on the place it shows.
  void PaintFrame(QPainter& painter, const QRectF& disc);
  void PaintStrip(QPainter& painter, const QRectF& disc);

  Desk& desk_;
  Comparison& comparison_;
  PageView& page_;
  FrameStore store_;
  StripTiles tiles_;  ///< Another scale than the page's.
  std::vector<Sight> sights_;
  int chosen_ = 0, kept_frame_ = -1;
  double magnification_ = 4;
  bool whole_ = false, placed_ = false, docked_ = false;
  QPoint grip_;
};

}  // namespace app::viewer
