#pragma once

#include <QWidget>

#include "app/marks/rings.h"
#include "app/viewer/desk.h"

namespace app::viewer {

/// The pipe's end as the welder stands before it: the cut wall outside, then the insert's nearer edge, and smaller, as
/// it is farther away, the other edge. Readable from two metres; a click goes to the place.
class EndView : public QWidget {
  Q_OBJECT
 public:
  explicit EndView(Desk& desk, QWidget* parent = nullptr);

  /// From piece a looking along +z, or turned round: from piece b looking against it.
  void SetFromB(bool from_b);
  bool from_b() const { return from_b_; }
  /// "12", "1", … clockwise from theta 0; where the picture's up is not known degrees from it, and no hour.
  QStringList RimLabels() const;
  /// From which end one looks, which ring is whose, and what the rim's numbers are.
  QString Caption() const;
  /// Which piece's edge a ring shows: the end one looks from is the outer one.
  marks::Side SideOfRing(marks::Ring ring) const { return marks::OnRing(ring, from()); }
  /// What stands on the ring.
  QString NameOnRing(marks::Ring ring) const;
  /// Where a theta stands on the widget, on the nearer edge's band.
  QPointF SpotOf(double theta_deg) const;
  QPointF Middle() const { return Centre(); }  ///< Of the rings, on the widget.
  QSize sizeHint() const override { return {250, 250}; }

 signals:
  void asked(double theta_deg, bool left);  ///< Somebody wants to go there.

 protected:
  void paintEvent(QPaintEvent*) override;
  void mousePressEvent(QMouseEvent*) override;
  void keyPressEvent(QKeyEvent*) override;

 private:
  marks::LookFrom from() const { return from_b_ ? marks::LookFrom::kB : marks::LookFrom::kA; }
  QPointF Centre() const;
  double Radius() const;  ///< Of the pipe's outside, px.
  void PaintRing(QPainter& painter, marks::Ring ring);
  void PaintToes(QPainter& painter, marks::Side side, double radius);  ///< Stretches set by hand.
  void PaintClock(QPainter& painter);
  void PaintWords(QPainter& painter);

  Desk& desk_;
  bool from_b_ = false;
};

}  // namespace app::viewer
