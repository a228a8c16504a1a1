#pragma once

#include <QFrame>

#include "app/viewer/live_data.h"
#include "app/viewer/page_layout.h"

class QLabel;
class QPushButton;

namespace app::viewer {

/// The strip while it fills: the weld and the wall beside it as lines of a page.
class LivePage : public QWidget {
  Q_OBJECT
 public:
  explicit LivePage(QWidget* parent = nullptr);
  void Show(std::shared_ptr<const LivePicture> picture);
  const LivePicture* picture() const { return picture_.get(); }
  const vision::live::Times& screen() const { return screen_; }  ///< From a frame's arrival until it was painted.
  void Forget();
  void SetClockKnown(bool known) { clock_known_ = known; }  ///< Else degrees from the picture's up.

 signals:
  void painted();  ///< The picture shown last is on the screen.

 protected:
  void paintEvent(QPaintEvent*) override;

 private:
  void PaintLine(QPainter& painter, const PageLayout& layout, int line);

  std::shared_ptr<const LivePicture> picture_;
  vision::live::Times screen_;
  bool fresh_ = false, clock_known_ = true;
};

/// How much of the ring was seen finely enough, on the pipe's end.
class LiveEnd : public QWidget {
  Q_OBJECT
 public:
  explicit LiveEnd(QWidget* parent = nullptr);
  void Show(std::shared_ptr<const LivePicture> picture);
  void SetClockKnown(bool known) { clock_known_ = known; }

 protected:
  void paintEvent(QPaintEvent*) override;

 private:
  std::shared_ptr<const LivePicture> picture_;
  bool clock_known_ = true;
};

/// A camera followed live: what to do next in large words, the strip, the pipe's end, and the figures of the run.
class LiveView : public QFrame {
  Q_OBJECT
 public:
  explicit LiveView(QWidget* parent = nullptr);

  /// @param clock_known Is the picture's up given? Else degrees are shown, and no clock.
  void Start(const vision::live::WatchOptions& options, bool clock_known = true);
  void Stop();
  bool running() const { return runner_.running(); }
  LivePage& page() { return *page_; }
  QString hint() const;
  QString figures() const;
  QString recording() const { return recording_; }  ///< First file written; empty = none.

 signals:
  void failed(const QString& sentence);
  void ended();
  void closed();
  void sortAsked(const QString& recording);

 private:
  void SayFigures(const vision::live::WatchFigures& figures, bool over);

  LiveRunner runner_;
  LivePage* page_;
  LiveEnd* end_;
  QLabel *hint_, *why_, *figures_, *caution_;
  QPushButton *stop_, *sort_;
  QString recording_;
};

}  // namespace app::viewer
