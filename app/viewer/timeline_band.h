#pragma once

#include <QWidget>
#include <memory>
#include <optional>

#include "app/viewer/timeline_data.h"

namespace app::viewer {

/// A recording as one thin band: each kind of stretch has its own pattern and its word or its short form in it, so that
/// no colour is needed; over it brackets mark what is proposed for measuring. Mouse and keys choose a moment.
class TimelineBand : public QWidget {
  Q_OBJECT
 public:
  explicit TimelineBand(QWidget* parent = nullptr);

  void Show(std::shared_ptr<const Timeline> timeline);
  double span_s() const { return span_s_; }
  double XOf(double time_s) const;
  double TimeAt(double x) const;
  QRectF RectOf(std::size_t stretch) const;  ///< As painted.
  QRectF BracketOf(std::size_t weld) const;  ///< Empty where nothing is proposed.
  std::optional<double> chosen_s() const { return chosen_s_; }
  void Choose(double time_s);  ///< Marks the moment and says so.
  QSize sizeHint() const override { return {800, 69}; }
  QSize minimumSizeHint() const override { return {200, 69}; }

 signals:
  void hovered(double time_s);
  void left();
  void chosen(double time_s);

 protected:
  bool event(QEvent*) override;
  void paintEvent(QPaintEvent*) override;
  void mouseMoveEvent(QMouseEvent*) override;
  void mousePressEvent(QMouseEvent*) override;
  void leaveEvent(QEvent*) override;
  void keyPressEvent(QKeyEvent*) override;

 private:
  void PaintStretches(QPainter& painter);
  void PaintBrackets(QPainter& painter);
  void PaintBurnedIn(QPainter& painter);
  void PaintTimes(QPainter& painter);
  double NextEdge(double from_s, bool forward) const;

  std::shared_ptr<const Timeline> timeline_;
  double span_s_ = 1;
  std::optional<double> chosen_s_;
};

}  // namespace app::viewer
