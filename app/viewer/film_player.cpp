#include "app/viewer/film_player.h"

#include <algorithm>
#include <chrono>

#include "app/viewer/tiles.h"
#include "vision/recording/film.h"

namespace app::viewer {
namespace {

using Clock = std::chrono::steady_clock;
using vision::recording::Film;

constexpr double kLongestWait_s = 1;  ///< A gap in the recording is not sat out.

}  // namespace

FilmPlayer::FilmPlayer(QObject* parent) : QObject(parent) {
  connect(&runner_, &JobRunner::broke, this, &FilmPlayer::failed);
}

FilmPlayer::~FilmPlayer() { Stop(); }

void FilmPlayer::Stop() {
  wanted_.reset();
  ++run_;
  {
    const std::lock_guard lock(gate_->mutex);  // else the player could miss it between looking and waiting
    runner_.Cancel();
  }
  gate_->changed.notify_all();
}

bool FilmPlayer::paused() const {
  const std::lock_guard lock(gate_->mutex);
  return gate_->paused;
}

void FilmPlayer::Pause(bool on) {
  {
    const std::lock_guard lock(gate_->mutex);
    gate_->paused = on;
  }
  gate_->changed.notify_all();
}

void FilmPlayer::Play(const FilmPlace& place) {
  Pause(false);
  if (!runner_.busy()) return Start(place);
  Stop();
  wanted_ = place;
}

void FilmPlayer::Start(const FilmPlace& place) {
  const long run = ++run_;
  gate_ = std::make_shared<Gate>();
  runner_.Start({}, [this, place, run, gate = gate_](const vision::JobContext& job) -> JobRunner::Finish {
    const auto over = [this, run](const QString& wrong, bool end) -> JobRunner::Finish {
      return [this, run, wrong, end] {
        if (wanted_) return Start(*std::exchange(wanted_, std::nullopt));
        if (run != run_) return;
        if (!wrong.isEmpty()) emit failed(wrong);
        if (end) emit ended();
      };
    };
    auto film = place.frame ? Film::OpenAtFrame(place.source, *place.frame, job)
                            : Film::OpenAt(place.source, place.time_s, job);
    if (film.cancelled()) return over({}, false);
    if (!film.ok()) return over(QString::fromStdString(film.error().message), false);
    std::optional<double> last_s;
    for (Clock::time_point due = Clock::now();;) {
      const auto next = film.value().Next(job);
      if (next.cancelled()) return over({}, false);
      if (!next.ok()) return over(QString::fromStdString(next.error().message), false);
      if (!next.value()) return over({}, true);
      const QImage image = ImageOf(cv::Mat3b(next.value()->image));
      const double time_s = next.value()->time_s;
      if (last_s)
        due += std::chrono::duration_cast<Clock::duration>(
            std::chrono::duration<double>(std::clamp(time_s - *last_s, 0.0, kLongestWait_s)));
      last_s = time_s;
      std::unique_lock lock(gate->mutex);
      gate->changed.wait_until(lock, due, [&] { return job.Cancelled(); });
      gate->changed.wait(lock, [&] { return job.Cancelled() || (!gate->paused && gate->waiting == 0); });
      if (job.Cancelled()) return over({}, false);
      due = std::max(due, Clock::now());
      ++gate->waiting;
      QMetaObject::invokeMethod(
          this,
          [this, image, time_s, run, gate] {
            {
              const std::lock_guard taken(gate->mutex);
              --gate->waiting;
            }
            gate->changed.notify_all();
            if (run == run_) emit shown(image, time_s);
          },
          Qt::QueuedConnection);
    }
  });
}

}  // namespace app::viewer
