#pragma once

#include <QFrame>
#include <memory>

#include "app/viewer/job_runner.h"
#include "app/viewer/timeline_band.h"

class QComboBox;
class QLabel;
class QPushButton;

namespace app::viewer {

/// A frame of the recording that hangs below the band at its moment, over whatever lies there. A click or Esc takes it
/// away.
class TimelineFrame : public QWidget {
  Q_OBJECT
 public:
  explicit TimelineFrame(QWidget* parent);

  void Show(const QImage& image, const std::vector<cv::Rect>& boxes, const QString& words, int hang_x);
  const QImage& image() const { return image_; }

 protected:
  void paintEvent(QPaintEvent*) override;
  void mousePressEvent(QMouseEvent*) override { hide(); }

 private:
  QImage image_;
  std::vector<cv::Rect> boxes_;
  QString words_;
  int hang_px_ = 0;  ///< Where the string hangs, px from the left.
};

/// The band at the window's upper edge with one line of words: what the moment under the mouse shows and why, and what
/// can be done with the recording.
class TimelineView : public QFrame {
  Q_OBJECT
 public:
  /// @param jobs Runs the sorting; one with the rest of the window.
  explicit TimelineView(JobRunner& jobs, QWidget* parent = nullptr);

  void Sort(const QString& source);  ///< In the background; ends with sorted() or failed().
  void Show(std::shared_ptr<const Timeline> timeline);
  const Timeline* timeline() const { return timeline_.get(); }
  TimelineBand& band() { return *band_; }
  TimelineFrame* frame() { return frame_; }
  QString words() const;
  void Measure();  ///< The stretch proposed for the weld chosen.

 signals:
  void sorted();
  void failed(const QString& sentence);
  void remarked(const QString& sentence);
  void frameShown(double time_s);
  void stretchTaken(const app::viewer::Request& request);  ///< A joint file to be measured, or bare stills.

 private:
  void Look(double time_s);
  void Hang(const QImage& image, double time_s);
  void Say(const QString& sentence);

  JobRunner& jobs_;
  std::shared_ptr<const Timeline> timeline_;
  TimelineBand* band_;
  TimelineFrame* frame_ = nullptr;
  QLabel* words_;
  QComboBox* welds_;
  QPushButton* measure_;
  double wanted_s_ = -1;
  JobRunner looker_;  // last member: ends first
};

}  // namespace app::viewer
