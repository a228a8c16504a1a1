#pragma once

#include <QImage>
#include <QObject>
#include <atomic>
#include <chrono>
#include <memory>

#include "app/viewer/job_runner.h"
#include "vision/live/watch.h"

namespace app::viewer {

/// What the camera has brought so far, as shown at one moment. Made away from the window's thread.
struct LivePicture {
  QImage strip;  ///< Row by row along z, column by column around; clear where nothing was seen yet.
  double radius_mm = 0, pitch_mm = 1, z_from_mm = 0;
  std::vector<float> left_toe_mm, right_toe_mm;  ///< 720 lines, NaN = not told; empty before the first.
  std::vector<double> coverage;                  ///< Of 72 arcs from theta 0, in [0, 1].
  double covered = 0;                            ///< Of the whole ring, in [0, 1].
  vision::live::Hint hint = vision::live::Hint::kNoPicture;
  vision::live::Setting setting = vision::live::Setting::kLooking;
  std::string why;  ///< Why the camera is not followed; empty = it is.
  double latency_ms = 0;
  std::chrono::steady_clock::time_point captured;
};

/// Follows a camera in a thread of its own and hands out one picture at a time: the next one is made when the last was
/// shown, so that a slow screen never makes the work wait.
class LiveRunner : public QObject {
  Q_OBJECT
 public:
  explicit LiveRunner(QObject* parent = nullptr);
  ~LiveRunner() override;

  /// @return false when one runs already.
  bool Start(const vision::live::WatchOptions& options);
  void Stop();
  bool running() const { return runner_.busy(); }
  /// The picture given last is on the screen; the next may come.
  void Shown();

 signals:
  void arrived(std::shared_ptr<const app::viewer::LivePicture> picture);
  void told(std::shared_ptr<const vision::live::WatchFigures> figures, vision::live::Hint hint);
  void ended(std::shared_ptr<const vision::live::WatchFigures> figures);
  void failed(const QString& sentence);

 private:
  std::shared_ptr<std::atomic<bool>> free_ = std::make_shared<std::atomic<bool>>(true);
  JobRunner runner_;  // last member: ends first
};

/// @param coverage_parts Equal arcs from theta 0.
LivePicture LivePictureOf(const vision::live::WatchView& view, int coverage_parts = 72);

}  // namespace app::viewer
