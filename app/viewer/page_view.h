#pragma once

#include <QBasicTimer>
#include <QPixmap>
#include <QWidget>
#include <optional>
#include <vector>

#include "app/notes/notes.h"
#include "app/viewer/desk.h"
#include "app/viewer/page_layout.h"
#include "app/viewer/tiles.h"

namespace app::viewer {

/// What is drawn over the picture.
struct Layers {
  bool toes = true, fusion = true, indications = true, not_examined = true, notes = true, ribbons = true, rulers = true,
       film = true;
  bool reader = false;  ///< What the fitted reader saw, and how sure.
};

/// What a press on the strip does.
enum class Tool { kLook, kPoint, kLine, kBox, kOutline, kText, kToe };

/// How a second strip is laid against the first.
enum class Against { kNone, kBeside, kSwipe, kBlink, kDifference, kHeights };

/// The strip as a page of lines, with ribbons along its own edges. Shows and asks; decides nothing.
class PageView : public QWidget {
  Q_OBJECT
 public:
  explicit PageView(Desk& desk, QWidget* parent = nullptr);
  ~PageView() override;

  PageLayout& layout_of_page() { return layout_; }
  const PageLayout& layout_of_page() const { return layout_; }
  StripTiles& tiles() { return tiles_; }
  const Layers& layers() const { return layers_; }
  void SetLayers(const Layers& layers);
  void SetLight(const Light& light);
  void SetRuler(Ruler ruler);
  void SetTool(Tool tool);
  Tool tool() const { return tool_; }
  void SetTwo(bool lines_two);

  /// A second strip on the first one's grid; null pictures end it.
  void SetOther(const Pyramid& other, const Pyramid& difference, const Pyramid& heights = {});
  void SetLabels(const QString& before, const QString& after);  ///< Of the two strips.
  void SetOtherNotes(const notes::Notes& notes);                ///< Of the second strip, at the first one's places.
  void SetAgainst(Against against);
  Against against() const { return against_; }
  void SetSwipe(double share);  ///< Of a line's width, [0, 1].
  double swipe() const { return swipe_; }

  void ShowWhole();
  void Zoom(double factor);
  void ZoomToSourcePixels();
  void Reveal(double theta_deg, double z_mm);
  void PanBy(double dx, double dy);
  int painted() const { return painted_; }              ///< Frames painted so far.
  int painted_still() const { return painted_still_; }  ///< Of these, with everything below the cross-hair anew.

 signals:
  void hovered(double theta_deg, double z_mm);
  void halfChosen(bool after);  ///< A click went onto this one of the two strips.
  void shapeDrawn(app::notes::Shape shape, std::vector<app::notes::Place> points);
  void toeDrawn(std::vector<app::notes::Place> points);
  void toolChanged(app::viewer::Tool tool);
  void noteAsked(int id);
  void moved();  ///< Scale or place of the page.
  void againstChanged();

 protected:
  void paintEvent(QPaintEvent*) override;
  void resizeEvent(QResizeEvent*) override;
  void mousePressEvent(QMouseEvent*) override;
  void mouseMoveEvent(QMouseEvent*) override;
  void mouseReleaseEvent(QMouseEvent*) override;
  void mouseDoubleClickEvent(QMouseEvent*) override;
  void wheelEvent(QWheelEvent*) override;
  void keyPressEvent(QKeyEvent*) override;
  void timerEvent(QTimerEvent*) override;
  void changeEvent(QEvent*) override;

 private:
  void Reload();
  void Reshape();
  void AddPoint(const PagePlace& place);
  void EndShape();
  void Redraw();      ///< Everything; update() alone moves the cross-hair and the shape being drawn.
  void PaintStill();  ///< Strip, ruler, ribbons and layers into the picture that is kept.
  void PaintPictures(QPainter& painter, int line);
  void PaintBeside(QPainter& painter, int line);
  /// @param right Ends at `at`, else begins there.
  void PaintLabel(QPainter& painter, QPoint at, bool after, bool right = false);
  bool OnAfter(QPointF spot) const;  ///< Does the second strip lie there?

  Desk& desk_;
  PageLayout layout_;
  StripTiles tiles_, other_, difference_, heights_;
  notes::Notes other_notes_;
  QString before_, after_;
  Layers layers_;
  Ruler ruler_ = Ruler::kClock;
  Tool tool_ = Tool::kLook;
  Against against_ = Against::kNone;
  double swipe_ = 0.5;
  bool blink_other_ = false;
  QBasicTimer blink_;
  std::vector<notes::Place> Band() const;  ///< The unfinished shape, stretched to the pointer.

  std::vector<notes::Place> drawing_;
  std::optional<notes::Place> reach_;  ///< The pointer's place while a shape is drawn.
  std::optional<Spot> stretch_;        ///< Where the mouse went down for a box.
  std::optional<Spot> pressed_, last_;
  bool dragging_ = false, swiping_ = false;
  int painted_ = 0, painted_still_ = 0;
  QPixmap still_;  ///< The page without cross-hair and unfinished shape, so that moving these costs one copy.
  std::vector<double> still_of_;
  bool stale_ = true;
};

}  // namespace app::viewer
