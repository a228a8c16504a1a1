// The lens and the end view as docks that a person moves; where they stood is remembered.
#include <QDockWidget>
#include <QHBoxLayout>
#include <QMenu>
#include <QSettings>
#include <QSplitter>

#include "app/viewer/main_window.h"

namespace app::viewer {

QDockWidget* MainWindow::MakeDock(const QString& title, const char* name) {
  auto* dock = new QDockWidget(title, this);
  dock->setObjectName(name);
  dock->setFeatures(QDockWidget::DockWidgetMovable | QDockWidget::DockWidgetFloatable);
  addDockWidget(Qt::RightDockWidgetArea, dock);
  dock->hide();
  return dock;
}

void MainWindow::MakeDocks() {
  end_dock_ = MakeDock(tr("End view"), "end_dock");
  lens_dock_ = MakeDock(tr("Lens"), "lens_dock");
}

void MainWindow::AddDockActions(QMenu* menu) {
  auto* end = Add(
      menu, tr("End view as a doc&k"), {}, [] {}, "dock_end");
  auto* lens = Add(
      menu, tr("Lens as a dock that sta&ys"), {}, [] {}, "dock_lens");
  end->setCheckable(true), lens->setCheckable(true);
  connect(end, &QAction::toggled, this, &MainWindow::DockEndView);
  connect(lens, &QAction::toggled, this, &MainWindow::DockLens);
}

void MainWindow::DockEndView(bool on) {
  if (on)
    end_dock_->setWidget(end_box_);
  else
    static_cast<QHBoxLayout*>(bench_->layout())->insertWidget(0, end_box_);
  end_box_->show();
  end_dock_->setVisible(on);
}

void MainWindow::DockLens(bool on) {
  const bool seen = !lens_->isHidden();
  lens_->SetDocked(on);
  if (on) {
    lens_dock_->setWidget(lens_);
  } else {
    lens_->setParent(page_);
    lens_->raise();
  }
  lens_->setVisible(seen);
  lens_dock_->setVisible(on);
}

void MainWindow::SaveLayout(QSettings& settings) const {
  settings.setValue("window", saveGeometry());
  settings.setValue("split", split_->saveState());
  for (const char* name : {"dock_end", "dock_lens"}) settings.setValue(name, findChild<QAction*>(name)->isChecked());
  settings.setValue("docks", saveState());
}

void MainWindow::RestoreLayout(const QSettings& settings) {
  restoreGeometry(settings.value("window").toByteArray());
  split_->restoreState(settings.value("split").toByteArray());
  for (const char* name : {"dock_end", "dock_lens"})
    findChild<QAction*>(name)->setChecked(settings.value(name, false).toBool());
  restoreState(settings.value("docks").toByteArray());
}

}  // namespace app::viewer
