#include "app/known/notes_beside.h"

#include "app/notes/keeper.h"

namespace app::known {

vision::Result<Told> NotesBeside(const joint::Joint& joint) {
  Told told;
  told.notes.joint_id = joint.id;
  if (joint.file.empty()) return told;
  const notes::Keeper keeper(joint.file);
  auto opened = keeper.Open(joint.id);
  if (!opened.ok()) return opened.error();
  told.notes = std::move(opened.value().notes);
  if (told.notes.joint_id != joint.id && !told.notes.joint_id.empty())
    return vision::BadInput(keeper.saved().string() + ": joint_id is " + told.notes.joint_id +
                            "; it must be that of the joint file, " + joint.id + ".");
  told.recorded.where = opened.value().recovered ? Recorded::Where::kNowhere : Recorded::Where::kFile;
  if (opened.value().recovered) told.remark = "Changes that were not saved in the window are part of this.";
  if (!opened.value().remark.empty() && !opened.value().recovered) told.remark = opened.value().remark;
  return told;
}

}  // namespace app::known
