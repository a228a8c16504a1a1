#include "app/viewer/job_runner.h"

#include <chrono>

namespace app::viewer {

JobRunner::~JobRunner() {
  Cancel();
  if (thread_.joinable()) thread_.join();
}

bool JobRunner::Start(const QString& title, Work work) {
  if (busy_) return false;
  if (thread_.joinable()) thread_.join();
  busy_ = true;
  emit started(title);
  thread_ = std::jthread([this, work = std::move(work)](std::stop_token stop) {
    auto last = std::chrono::steady_clock::time_point{};
    const vision::JobContext job(stop, [this, &last](double fraction, std::string_view stage) {
      const auto now = std::chrono::steady_clock::now();
      if (now - last < std::chrono::milliseconds(30)) return;
      last = now;
      const QString text = QString::fromUtf8(stage.data(), static_cast<qsizetype>(stage.size()));
      QMetaObject::invokeMethod(
          this, [this, fraction, text] { emit progressed(fraction, text); }, Qt::QueuedConnection);
    });
    Finish finish;
    try {
      finish = work(job);
    } catch (const std::exception&) {  // a library's own words are of no use to a person
      finish = [this] {
        emit broke(tr("Something in the program failed; this work was given up and changed nothing."));
      };
    }
    QMetaObject::invokeMethod(
        this,
        [this, finish] {
          busy_ = false;
          emit ended();
          if (finish) finish();
        },
        Qt::QueuedConnection);
  });
  return true;
}

void JobRunner::Cancel() { thread_.request_stop(); }

}  // namespace app::viewer
