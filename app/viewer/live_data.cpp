#include "app/viewer/live_data.h"

#include <numeric>
#include <opencv2/imgproc.hpp>

namespace app::viewer {

using vision::live::WatchFigures;

namespace {

/// Clear where the strip holds nothing.
QImage WithClear(const cv::Mat3b& strip) {
  if (strip.empty()) return {};
  QImage image(strip.cols, strip.rows, QImage::Format_ARGB32);
  for (int y = 0; y < strip.rows; ++y) {
    auto* to = reinterpret_cast<QRgb*>(image.scanLine(y));
    for (int x = 0; x < strip.cols; ++x) {
      const cv::Vec3b& c = strip(y, x);
      to[x] = c == cv::Vec3b(0, 0, 0) ? qRgba(0, 0, 0, 0) : qRgb(c[2], c[1], c[0]);
    }
  }
  return image;
}

}  // namespace

LivePicture LivePictureOf(const vision::live::WatchView& view, int coverage_parts) {
  LivePicture picture;
  const auto& grid = view.strip.grid();
  picture.radius_mm = grid.radius_mm, picture.pitch_mm = grid.pitch_mm, picture.z_from_mm = grid.z_from_mm;
  if (grid.rows > 0) picture.strip = WithClear(view.strip.image());
  if (view.toes) picture.left_toe_mm = view.toes->left_mm, picture.right_toe_mm = view.toes->right_mm;
  picture.coverage = view.strip.Coverage(coverage_parts);
  picture.covered = std::accumulate(picture.coverage.begin(), picture.coverage.end(), 0.0) / coverage_parts;
  picture.hint = view.hint, picture.setting = view.setting;
  if (!view.tracked) picture.why = view.why;
  picture.latency_ms = view.latency_ms, picture.captured = view.captured;
  return picture;
}

LiveRunner::LiveRunner(QObject* parent) : QObject(parent) {
  connect(&runner_, &JobRunner::broke, this, &LiveRunner::failed);
}

LiveRunner::~LiveRunner() { Stop(); }

void LiveRunner::Stop() { runner_.Cancel(); }

void LiveRunner::Shown() { free_->store(true); }

bool LiveRunner::Start(const vision::live::WatchOptions& options) {
  free_ = std::make_shared<std::atomic<bool>>(true);
  return runner_.Start({}, [this, options, screen_free = free_](const vision::JobContext& job) -> JobRunner::Finish {
    vision::live::WatchListener listener;
    listener.on_frame = [this, screen_free](const vision::live::WatchView& view) {
      if (!screen_free->exchange(false)) return;
      auto picture = std::make_shared<const LivePicture>(LivePictureOf(view));
      QMetaObject::invokeMethod(
          this, [this, picture] { emit arrived(picture); }, Qt::QueuedConnection);
    };
    listener.on_tell = [this](const WatchFigures& figures, vision::live::Hint hint) {
      auto copy = std::make_shared<const WatchFigures>(figures);
      QMetaObject::invokeMethod(
          this, [this, copy, hint] { emit told(copy, hint); }, Qt::QueuedConnection);
    };
    auto watched = std::make_shared<vision::Result<vision::live::Watched>>(Watch(options, listener, job));
    return [this, watched] {
      if (!watched->ok()) return emit failed(QString::fromStdString(watched->error().message));
      emit ended(std::make_shared<const WatchFigures>(std::move(watched->value().figures)));
    };
  });
}

}  // namespace app::viewer
