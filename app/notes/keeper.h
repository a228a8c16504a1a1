#pragma once

#include <filesystem>
#include <string>

#include "app/notes/notes.h"

namespace app::notes {

/// Keeps the notes of one joint beside its file, so that neither a killed program nor a power cut loses a change.
/// `JOINT.notes.json` is what was saved; `JOINT.notes.unsaved.json` is written whole after every change and removed by
/// saving. Whoever opens the joint next gets the unsaved state back.
class Keeper {
 public:
  explicit Keeper(const std::filesystem::path& joint_file);

  struct Opened {
    Notes notes;
    bool recovered = false;  ///< `notes` comes from the unsaved file.
    std::string remark;      ///< One sentence for the person, empty when all is as usual.
  };
  /// No file is an empty set. An unsaved file that cannot be read is put aside as `.damaged`, never deleted.
  /// @return kBadInput when the saved file cannot be read.
  vision::Result<Opened> Open(const std::string& joint_id) const;

  /// After every change. Survives the end of the process; Settle makes it survive a power cut.
  vision::Status KeepUnsaved(const Notes& notes) const;

  /// Waits until the disk has what KeepUnsaved or Save wrote. Slow; belongs into a thread of its own.
  void Settle() const;

  vision::Status Save(const Notes& notes) const;

  /// Removes the unsaved file: the last saved state holds again.
  void Discard() const;

  const std::filesystem::path& saved() const { return saved_; }
  const std::filesystem::path& unsaved() const { return unsaved_; }

 private:
  std::filesystem::path saved_, unsaved_;
};

}  // namespace app::notes
