#pragma once

#include <QUndoCommand>

#include "app/notes/notes.h"
#include "app/viewer/desk.h"

namespace app::viewer {

/// One change of the notes, with both states. Everything a person does to a joint goes through here.
class ChangeNotes final : public QUndoCommand {
 public:
  ChangeNotes(Desk& desk, const QString& text, notes::Notes after)
      : QUndoCommand(text), desk_(desk), before_(desk.notes()), after_(std::move(after)) {}
  void undo() override { desk_.SetNotes(before_); }
  void redo() override { desk_.SetNotes(after_); }

 private:
  Desk& desk_;
  notes::Notes before_, after_;
};

/// Each pushes one command on the desk's stack; an impossible one pushes none and returns why.
vision::Status AddNote(Desk& desk, notes::Note note);  ///< Gets its id and signature here.
vision::Status ReplaceNote(Desk& desk, const notes::Note& note);
void RemoveNote(Desk& desk, int id);
vision::Status Rule(Desk& desk, const std::string& about, bool overruled, const std::string& reason);
/// A toe as drawn on the strip: the side nearer to the first point, clockwise, theta growing past 360.
/// @return kBadInput for fewer than two points or points that do not follow each other.
vision::Result<notes::HandToe> ToeDrawn(const Desk& desk, std::vector<notes::Place> points);
/// The toe already set by hand over most of the same stretch; nullopt = none. A further placing of it tells how well a
/// hand finds it.
std::optional<std::size_t> PlacedBefore(const notes::Notes& notes, const notes::HandToe& toe);
/// A toe of its own; `toe.reason` must say why the measured one is not right.
vision::Status MoveToe(Desk& desk, notes::HandToe toe);
/// One more placing of toe number `index`.
vision::Status PlaceAgain(Desk& desk, std::size_t index, notes::HandToe toe);
void RemoveHandToe(Desk& desk, int index);

}  // namespace app::viewer
