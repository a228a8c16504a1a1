#pragma once

#include <QWidget>

#include "app/viewer/desk.h"

namespace app::viewer {

/// The profile across the bead at the cross-hair: surface, walls and chord where heights were measured; where not, the
/// toes' places and the reason.
class SectionView : public QWidget {
  Q_OBJECT
 public:
  explicit SectionView(Desk& desk, QWidget* parent = nullptr);
  QSize sizeHint() const override { return {260, 240}; }
  /// What is said over the drawing: crown and concavity, or why there is none.
  QString Sentence(const Section& section) const;

 protected:
  void paintEvent(QPaintEvent*) override;

 private:
  Desk& desk_;
};

}  // namespace app::viewer
