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
/// The toe nearer to the first point is the one that moves.
vision::Status MoveToe(Desk& desk, std::vector<notes::Place> points);
void RemoveHandToe(Desk& desk, int index);

}  // namespace app::viewer
