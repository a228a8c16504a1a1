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

/// The text of the joint file that stands in the book for a recording: with this recording alone.
/// @return kBadInput for a file that is no joint file.
vision::Result<std::string> OwnJointFile(const std::filesystem::path& joint_file, const std::string& recording);

/// A folder in which a recording lies as its joint file wants it; removed at the end unless it was named.
class WorkFolder {
 public:
  /// @return kBadInput when a file is no longer what was recorded.
  /// @param named Laid there, over what an earlier call laid, and kept; empty: a temporary folder.
  static vision::Result<WorkFolder> Lay(Book& book, const RecordingEntry& recording,
                                        const std::filesystem::path& named = {});
  WorkFolder(WorkFolder&& other) noexcept : folder_(std::move(other.folder_)), kept_(other.kept_) {
    other.folder_.clear();
  }
  WorkFolder& operator=(WorkFolder&&) = delete;
  ~WorkFolder();

  std::filesystem::path joint_file() const { return folder_ / "joint.json"; }
  std::filesystem::path out() const { return folder_ / "out"; }

 private:
  WorkFolder(std::filesystem::path folder, bool kept) : folder_(std::move(folder)), kept_(kept) {}
  std::filesystem::path folder_;
  bool kept_ = false;
};

}  // namespace app::book
