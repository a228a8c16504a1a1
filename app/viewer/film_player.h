#pragma once

#include <QImage>
#include <condition_variable>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

#include "app/viewer/job_runner.h"

namespace app::viewer {

/// Where in a recording playing begins: at a frame's number, else at a time.
struct FilmPlace {
  std::string source;
  std::optional<long> frame;
  double time_s = 0;
};

/// Plays a recording at its own pace, decoding in a thread of its own; a slow screen makes it slower and never piles
/// pictures up.
class FilmPlayer : public QObject {
  Q_OBJECT
 public:
  explicit FilmPlayer(QObject* parent = nullptr);
  ~FilmPlayer() override;

  void Play(const FilmPlace& place);  ///< Instead of what plays now.
  void Pause(bool on);
  bool paused() const;
  bool playing() const { return runner_.busy(); }
  void Stop();

 signals:
  void shown(const QImage& image, double time_s);
  void ended();  ///< The recording's last picture was shown.
  void failed(const QString& sentence);

 private:
  /// Between the two threads.
  struct Gate {
    mutable std::mutex mutex;
    std::condition_variable_any changed;
    bool paused = false;
    int waiting = 0;  ///< Pictures given and not yet taken.
  };
  void Start(const FilmPlace& place);

  std::shared_ptr<Gate> gate_ = std::make_shared<Gate>();
  std::optional<FilmPlace> wanted_;  ///< To be played when what plays has ended.
  long run_ = 0;                     ///< Pictures of an earlier run are not shown.
  JobRunner runner_;                 // last member: ends first
};

}  // namespace app::viewer
