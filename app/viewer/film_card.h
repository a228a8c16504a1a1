#pragma once

#include <QFrame>

#include "app/viewer/film_player.h"

class QLabel;
class QPushButton;

namespace app::viewer {

/// A recording playing on a card that lies on the page: what it is, the picture, and go on, again, away.
class FilmCard : public QFrame {
  Q_OBJECT
 public:
  explicit FilmCard(QWidget* parent);

  /// @param words What is played and why; stands above the picture.
  /// @param follows Whoever goes to another place wants that place's moment.
  void Play(const FilmPlace& place, const QString& words, bool follows);
  void KeepOff(double x_px);  ///< Lies on the other half of the page.
  bool follows() const { return isVisible() && follows_; }
  FilmPlayer& player() { return player_; }
  const QImage& image() const { return image_; }
  double time_s() const { return time_s_; }  ///< Of the picture shown; negative while none is.
  QString words() const;
  void Away();

 signals:
  void failed(const QString& sentence);

 protected:
  void paintEvent(QPaintEvent*) override;

 private:
  void SayState();

  FilmPlayer player_;
  FilmPlace place_;
  QImage image_;
  double time_s_ = -1;
  bool follows_ = false, ended_ = false, right_ = false;
  QLabel *words_, *time_;
  QWidget* picture_;
  QPushButton *pause_, *again_, *away_;
};

}  // namespace app::viewer
