#include "tests/viewer/hand.h"

#include <QComboBox>
#include <QDropEvent>
#include <QLineEdit>
#include <QListView>
#include <QMainWindow>
#include <QMenu>
#include <QMenuBar>
#include <QMimeData>
#include <QScrollArea>
#include <QTabBar>
#include <QToolBar>
#include <cstdio>

namespace viewer_test {

void Hand::Begin() {
  clicks_ = drops_ = letters_ = 0;
  clock_.start();
}

void Hand::ClickAt(QWidget& widget, QPoint at) {
  ++clicks_;
  QTest::mouseClick(&widget, Qt::LeftButton, {}, at);
  QTest::qWait(60);
}

void Hand::Click(QWidget* widget) {
  if (!widget || !widget->isVisible() || !widget->isEnabled()) {
    std::printf("not there to be clicked: %s\n", widget ? qPrintable(widget->objectName()) : "nothing");
    return;
  }
  for (QWidget* above = widget->parentWidget(); above; above = above->parentWidget())
    if (auto* area = qobject_cast<QScrollArea*>(above)) area->ensureWidgetVisible(widget);
  ClickAt(*widget, widget->rect().center());
}

void Hand::Type(QLineEdit* line, const QString& text) {
  Click(line);
  if (!line) return;
  line->setFocus();  // a display without a window manager gives nobody the focus
  line->selectAll();
  QTest::keyClicks(line, text);
  letters_ += static_cast<int>(text.size());
}

void Hand::Choose(QComboBox* box, const QString& words) {
  Click(box);
  if (!box) return;
  const int row = box->findText(words, Qt::MatchStartsWith);
  if (row < 0) return static_cast<void>(std::printf("no such choice: %s\n", qPrintable(words)));
  auto* view = box->view();
  view->scrollTo(box->model()->index(row, 0));
  QTest::qWait(QApplication::doubleClickInterval() + 100);  // a list that has just opened takes no click
  ++clicks_;
  QTest::mouseClick(view->viewport(), Qt::LeftButton, {}, view->visualRect(box->model()->index(row, 0)).center());
  QTest::qWait(60);
  if (box->currentIndex() != row) std::printf("not chosen: %s\n", qPrintable(words));
}

void Hand::Menu(QMainWindow& window, const char* name) {
  auto* action = window.findChild<QAction*>(name);
  for (QAction* title : window.menuBar()->actions()) {
    QMenu* menu = title->menu();
    if (!menu || !menu->actions().contains(action)) continue;
    ClickAt(*window.menuBar(), window.menuBar()->actionGeometry(title).center());
    Until([&] { return menu->isVisible(); }, 3);
    Save(*menu, QString("menu_") + name);
    ClickAt(*menu, menu->actionGeometry(action).center());
    return;
  }
  std::printf("no menu holds: %s\n", name);
}

void Hand::Tool(QMainWindow& window, const char* name) {
  auto* bar = window.findChild<QToolBar*>("tools");
  Click(bar ? bar->widgetForAction(window.findChild<QAction*>(name)) : nullptr);
}

void Hand::Tab(QWidget& sheet, const QString& words) {
  auto* bar = sheet.findChild<QTabBar*>();
  for (int i = 0; bar && i < bar->count(); ++i)
    if (bar->tabText(i).compare(words, Qt::CaseInsensitive) == 0) return ClickAt(*bar, bar->tabRect(i).center());
  std::printf("no such page of the sheet: %s\n", qPrintable(words));
}

void Hand::Drop(QWidget& target, const std::vector<std::filesystem::path>& files) {
  ++drops_;
  QMimeData data;
  QList<QUrl> urls;
  for (const auto& file : files) urls << QUrl::fromLocalFile(QString::fromStdString(file.string()));
  data.setUrls(urls);
  QDragEnterEvent enter(QPoint(50, 50), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
  QApplication::sendEvent(&target, &enter);
  QDropEvent drop(QPointF(50, 50), Qt::CopyAction, &data, Qt::LeftButton, Qt::NoModifier);
  QApplication::sendEvent(&target, &drop);
}

bool Hand::Until(const std::function<bool()>& holds, double seconds) {
  return QTest::qWaitFor(holds, static_cast<int>(1000 * seconds));
}

void Hand::Save(QWidget& widget, const QString& name) {
  QTest::qWait(250);
  std::filesystem::create_directories(shots_);
  widget.grab().save(QString::fromStdString((shots_ / (name.toStdString() + ".png")).string()));
}

}  // namespace viewer_test
