#pragma once

#include <QElapsedTimer>
#include <QObject>
#include <functional>
#include <thread>

#include "vision/base/job.h"

namespace app::viewer {

/// Long work in a thread of its own, one at a time. What the work returns runs in the window's thread afterwards.
class JobRunner : public QObject {
  Q_OBJECT
 public:
  using Finish = std::function<void()>;
  using Work = std::function<Finish(const vision::JobContext&)>;

  explicit JobRunner(QObject* parent = nullptr) : QObject(parent) {}
  ~JobRunner() override;

  bool busy() const { return busy_; }
  /// @return false when other work is under way; nothing is started then.
  bool Start(const QString& title, Work work);
  /// Asks the work to stop; returns at once.
  void Cancel();

 signals:
  void started(const QString& title);
  void progressed(double fraction, const QString& stage);
  void ended();
  void broke(const QString& sentence);  ///< Work that threw: a programmer's error, shown all the same.

 private:
  bool busy_ = false;
  std::jthread thread_;
};

}  // namespace app::viewer
