#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "app/book/book.h"

/// Recordings come into the book with everything needed to measure them again years later: the joint file, and every
/// file it names for them.
namespace app::book {

struct IntakeRequest {
  std::filesystem::path joint_file;
  std::vector<std::string> recordings;  ///< Ids in the joint file; at least one.
  std::string cycle = "R0";
  std::string welder, welded_on;  ///< Of the cycle; kept when empty.
  bool refer = false;             ///< Frames and videos stay where they are; only their hash is noted.
  std::string clock, zone;        ///< Recorder's clock and time zone, as recorded.
};

/// Puts the files into the evidence store and the recordings into `record` (a fresh one for a new joint). The queue
/// knows them once the record is saved.
/// @return kBadInput when the joint file is of another joint, a recording is there already, or a cycle would be
/// skipped.
vision::Status TakeIn(Book& book, const IntakeRequest& request, Record& record);

/// A folder in which a recording lies as its joint file wants it; removed at the end.
class WorkFolder {
 public:
  /// @return kBadInput when a file is no longer what was recorded.
  static vision::Result<WorkFolder> Lay(Book& book, const RecordingEntry& recording);
  WorkFolder(WorkFolder&& other) noexcept : folder_(std::move(other.folder_)) { other.folder_.clear(); }
  WorkFolder& operator=(WorkFolder&&) = delete;
  ~WorkFolder();

  std::filesystem::path joint_file() const { return folder_ / "joint.json"; }
  std::filesystem::path out() const { return folder_ / "out"; }

 private:
  explicit WorkFolder(std::filesystem::path folder) : folder_(std::move(folder)) {}
  std::filesystem::path folder_;
};

}  // namespace app::book
