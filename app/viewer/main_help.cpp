// Help: the handbook in every window, all keys, the standing cautions.
#include <QApplication>
#include <QKeyEvent>
#include <QMenuBar>
#include <QTextBrowser>
#include <QVBoxLayout>

#include "app/viewer/handbook_sheet.h"
#include "app/viewer/main_window.h"

namespace app::viewer {
namespace {

/// Which chapter speaks of a sheet, by the sheet's object name.
QString ChapterFor(const QString& sheet) {
  const std::pair<const char*, const char*> chapters[] = {
      {"facts_sheet", "first_joint"}, {"new_joint_sheet", "first_joint"}, {"add_recording_sheet", "recording"},
      {"camera_sheet", "camera"},     {"judge_sheet", "criteria"},        {"book_sheet", "book"},
      {"live_sheet", "moving"},       {"trends_sheet", "book"},           {"note_sheet", "window"},
      {"toe_sheet", "window"},        {"record_sheet", "book"},           {"report_sheet", "reading"},
      {"welder_words", "reading"}};
  for (const auto& [name, chapter] : chapters)
    if (sheet == name) return chapter;
  return {};
}

}  // namespace

void MainWindow::MakeHelpMenu() {
  auto* menu = menuBar()->addMenu(tr("&Help"));
  Add(
      menu, tr("&Handbook"), "F1", [this] { ShowHandbook({}); }, "handbook");
  Add(
      menu, tr("&Keys"), "Ctrl+F1", [this] { ShowKeys(); }, "keys");
  Add(
      menu, tr("Standing &cautions"), "Shift+F1",
      [this] { ShowFailure(Words::Cautions().join(" ") + " " + Words::Supports()); }, "cautions");
  qApp->installEventFilter(this);
}

void MainWindow::ShowHandbook(const QString& chapter) {
  QWidget* above = QApplication::activeModalWidget();
  auto* sheet = new HandbookSheet(above ? above : this);
  sheet->setAttribute(Qt::WA_DeleteOnClose);
  if (!chapter.isEmpty()) sheet->ShowChapter(chapter);
  sheet->show();
}

bool MainWindow::eventFilter(QObject* watched, QEvent* event) {
  // A sheet that waits for an answer hides the menu's F1.
  const auto* above = QApplication::activeModalWidget();
  if (event->type() == QEvent::KeyPress && above && watched->isWidgetType()) {
    const auto* key = static_cast<QKeyEvent*>(event);
    if (key->key() == Qt::Key_F1 && key->modifiers() == Qt::NoModifier) {
      ShowHandbook(ChapterFor(above->objectName()));
      return true;
    }
  }
  return QMainWindow::eventFilter(watched, event);
}

void MainWindow::ShowKeys() {
  auto* sheet = new QDialog(this);
  sheet->setAttribute(Qt::WA_DeleteOnClose);
  sheet->setWindowTitle(tr("Keys"));
  sheet->setObjectName("keys_sheet");
  sheet->resize(560, 640);
  auto* column = new QVBoxLayout(sheet);
  auto* text = new QTextBrowser;
  text->setHtml(
      "<table>" + keys_.join("") +
      QString("<tr><td><b>%1</b></td><td>%2</td></tr>")
          .arg(tr("Arrows"), tr("Move the cross-hair; with Shift by 5 mm")) +
      QString("<tr><td><b>%1</b></td><td>%2</td></tr>").arg(tr("Page up, down"), tr("Turn the page by half a line")) +
      QString("<tr><td><b>%1</b></td><td>%2</td></tr>").arg(tr("Space, Enter"), tr("Put a point in; end the shape")) +
      QString("<tr><td><b>%1</b></td><td>%2</td></tr>").arg(tr("Wheel, Shift+wheel"), tr("Zoom; turn the page")) +
      "</table>");
  column->addWidget(text);
  sheet->show();
}

}  // namespace app::viewer
