#include "app/viewer/frame_store.h"

#include <QThreadPool>

#include "app/viewer/tiles.h"

namespace app::viewer {

FrameStore::~FrameStore() { QThreadPool::globalInstance()->waitForDone(); }

void FrameStore::SetJoint(const Opened* opened) {
  opened_ = opened;
  ++generation_;
  frames_.clear();
  errors_.clear();
  asked_.clear();
}

QImage FrameStore::Frame(int frame, QString* error) {
  if (error) *error = errors_.value(frame);
  if (!opened_ || frames_.contains(frame) || asked_.contains(frame)) return frames_.value(frame);
  asked_.insert(frame);
  const auto file = FileOfFrame(*opened_, frame);
  if (!file.ok()) {
    errors_[frame] = QString::fromStdString(file.error().message);
    if (error) *error = errors_[frame];
    return {};
  }
  QThreadPool::globalInstance()->start([this, frame, source = file.value(), generation = generation_] {
    const auto picture = LoadFrame(source);
    const QImage image = picture.ok() ? ImageOf(picture.value()) : QImage();
    const QString what = picture.ok() ? QString() : QString::fromStdString(picture.error().message);
    QMetaObject::invokeMethod(
        this,
        [this, frame, image, what, generation] {
          if (generation != generation_) return;
          frames_[frame] = image;
          if (!what.isEmpty()) errors_[frame] = what;
          emit arrived(frame);
        },
        Qt::QueuedConnection);
  });
  return {};
}

}  // namespace app::viewer
