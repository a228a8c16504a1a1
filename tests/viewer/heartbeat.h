#pragma once

#include <QElapsedTimer>
#include <QObject>
#include <QString>
#include <ctime>

namespace viewer_test {

/// Longest time between two beats of a timer in the window's thread.
class Heartbeat : public QObject {
 public:
  Heartbeat() {
    clock_.start();
    startTimer(5, Qt::PreciseTimer);
  }
  qint64 longest_ms() const { return longest_; }
  QString at() const { return at_; }
  /// The same in processor time of the window's thread: what a machine at rest would see.
  double busiest_ms() const { return busiest_; }
  QString busy_at() const { return busy_at_; }
  void Enter(const QString& step) { step_ = step; }

 protected:
  void timerEvent(QTimerEvent*) override {
    const qint64 gap = clock_.restart();
    if (gap > longest_) longest_ = gap, at_ = step_;
    const double now = CpuMs();
    if (now - cpu_ > busiest_) busiest_ = now - cpu_, busy_at_ = step_;
    cpu_ = now;
  }

 private:
  static double CpuMs() {
    timespec time{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &time);
    return 1e3 * static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_nsec);
  }

  double cpu_ = CpuMs(), busiest_ = 0;
  QString busy_at_;
  QElapsedTimer clock_;
  qint64 longest_ = 0;
  QString step_ = "start", at_;
};

}  // namespace viewer_test
