// What the window does with what people decide: rulings, notes, toes by hand, judging.
#include <QInputDialog>
#include <QListView>

#include "app/viewer/commands.h"
#include "app/viewer/judge_sheet.h"
#include "app/viewer/main_window.h"
#include "app/viewer/note_sheet.h"
#include "app/viewer/toe_sheet.h"

namespace app::viewer {

void MainWindow::RuleOnThing(bool overrule) {
  const auto index = list_->currentIndex();
  if (!index.isValid() || listed_->At(index.row()).about.empty())
    return Say(tr("Choose a measured place in the list first (an edge still visible or an indication)."));
  const std::string about = listed_->At(index.row()).about;
  QString reason;
  if (overrule) {
    QInputDialog ask(this);
    ask.setWindowTitle(tr("Overrule"));
    ask.setLabelText(tr("Reason; the measurement stays visible beside it:"));
    ask.setOkButtonText(tr("Overrule")), ask.setCancelButtonText(tr("Cancel"));
    if (ask.exec() != QDialog::Accepted) return;
    reason = ask.textValue();
  }
  const int row = index.row();
  if (const auto wrong = Rule(desk_, about, overrule, reason.trimmed().toStdString()))
    ShowFailure(QString::fromStdString(wrong->message));
  list_->setCurrentIndex(listed_->index(row));
}

void MainWindow::NoteDrawn(notes::Shape shape, const std::vector<notes::Place>& points) {
  notes::Note note;
  note.shape = shape, note.points = points;
  note.kind = shape == notes::Shape::kText ? "remark" : "lack_of_root_fusion";
  if ((shape == notes::Shape::kLine && points.size() < 2) || (shape == notes::Shape::kOutline && points.size() < 3))
    return Say(tr("That shape needs more points."));
  NoteSheet sheet(desk_, note, this);
  if (sheet.exec() != QDialog::Accepted) return;
  desk_.SetAuthor(sheet.author());
  if (const auto wrong = AddNote(desk_, sheet.note())) ShowFailure(QString::fromStdString(wrong->message));
}

void MainWindow::SetToe(const std::vector<notes::Place>& points) {
  const auto toe = ToeDrawn(desk_, points);
  if (!toe.ok()) return ShowFailure(QString::fromStdString(toe.error().message));
  const auto before = PlacedBefore(desk_.notes(), toe.value());
  ToeSheet sheet(desk_, toe.value(), before, this);
  if (sheet.exec() != QDialog::Accepted) return;
  const auto wrong = before && sheet.again() ? PlaceAgain(desk_, *before, sheet.toe()) : MoveToe(desk_, sheet.toe());
  if (wrong) ShowFailure(QString::fromStdString(wrong->message));
}

void MainWindow::EditNote(int id) {
  const auto* note = desk_.notes().Find(id);
  if (!note) return;
  NoteSheet sheet(desk_, *note, this);
  if (sheet.exec() != QDialog::Accepted) return;
  desk_.SetAuthor(sheet.author());
  if (const auto wrong = ReplaceNote(desk_, sheet.note())) ShowFailure(QString::fromStdString(wrong->message));
}

void MainWindow::RemoveChosen() {
  const auto index = list_->currentIndex();
  if (!index.isValid()) return;
  const Listed thing = listed_->At(index.row());
  if (thing.note_id) return RemoveNote(desk_, thing.note_id);
  if (thing.sort == Listed::Sort::kHandToe) return RemoveHandToe(desk_, thing.index);
  Say(tr("What was measured is never removed; overrule it with a reason."));
}

void MainWindow::Judge() {
  if (!desk_.has()) return;
  auto* sheet = new JudgeSheet(desk_, this);
  sheet->setAttribute(Qt::WA_DeleteOnClose);
  connect(sheet, &JudgeSheet::placeAsked, this, [this](double theta, double z) {
    desk_.GoTo(theta, z);
    page_->Reveal(theta, z);
  });
  connect(sheet, &JudgeSheet::reportAsked, this, &MainWindow::ShowReport);
  sheet->show();
}

}  // namespace app::viewer
