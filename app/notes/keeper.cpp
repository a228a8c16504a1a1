#include "app/notes/keeper.h"

#include "vision/base/file.h"

namespace app::notes {
namespace {

namespace fs = std::filesystem;

vision::Result<Notes> Read(const fs::path& path) {
  auto text = vision::ReadFileWhole(path);
  if (!text.ok()) return text.error();
  return FromJson(text.value(), path.string());
}

}  // namespace

Keeper::Keeper(const fs::path& joint_file) {
  const fs::path stem = joint_file.parent_path() / joint_file.stem();
  saved_ = stem.string() + ".notes.json";
  unsaved_ = stem.string() + ".notes.unsaved.json";
}

vision::Result<Keeper::Opened> Keeper::Open(const std::string& joint_id) const {
  Opened opened;
  opened.notes.joint_id = joint_id;
  std::error_code ignored;
  if (fs::exists(unsaved_, ignored)) {
    auto unsaved = Read(unsaved_);
    if (unsaved.ok()) return Opened{std::move(unsaved).value(), true, "Changes that had not been saved came back."};
    const fs::path aside = unsaved_.string() + ".damaged";
    fs::rename(unsaved_, aside, ignored);
    opened.remark = "The file of unsaved changes cannot be read and was put aside as " + aside.string() + ".";
  }
  if (!fs::exists(saved_, ignored)) return opened;
  auto saved = Read(saved_);
  if (!saved.ok()) return saved.error();
  opened.notes = std::move(saved).value();
  return opened;
}

vision::Status Keeper::KeepUnsaved(const Notes& notes) const {
  return vision::WriteFileWhole(unsaved_, ToJson(notes), vision::Settle::kLater);
}

void Keeper::Settle() const {
  vision::SettleOnDisk(unsaved_);
  vision::SettleOnDisk(saved_);
  vision::SettleOnDisk(saved_.parent_path().empty() ? fs::path(".") : saved_.parent_path());
}

vision::Status Keeper::Save(const Notes& notes) const {
  // On the disk before the unsaved one goes.
  if (auto failed = vision::WriteFileWhole(saved_, ToJson(notes), vision::Settle::kNow)) return failed;
  Discard();
  return std::nullopt;
}

void Keeper::Discard() const {
  std::error_code ignored;
  fs::remove(unsaved_, ignored);
}

}  // namespace app::notes
