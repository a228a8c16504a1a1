#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "app/book/book.h"
#include "app/book/intake.h"
#include "app/joint/joint.h"
#include "app/joint/verdict.h"
#include "app/known/notes_beside.h"
#include "vision/reading/reading.h"

/// A measured recording taken out of the book again as measuring had it: for print and for exchange.
namespace app::book {

struct NamedFile {
  std::filesystem::path path;  ///< In the evidence store.
  std::string name;            ///< As it was called when it came.
};

struct LaidReading {
  WorkFolder work;               ///< Holds the files below for as long as it lives.
  std::filesystem::path folder;  ///< reading.json and the pictures it names.
  app::joint::Joint joint;
  vision::reading::Reading reading;
  app::joint::Verdict verdict;
  app::known::Told told;          ///< The newest notes on the record; `recorded.revision` is for the caller to fill in.
  std::vector<NamedFile> stills;  ///< Frames of the recording; none for a video.
  std::string settings;           ///< The reading was made with.
  std::string reading_sha256;
};

/// The newest reading of a cycle, with its verdict.
/// @return kNotFound when there is none yet; kBadInput when a file is no longer what was recorded.
/// @param folder Laid there and kept (WorkFolder::Lay); empty: a temporary folder.
vision::Result<LaidReading> LayNewest(Book& book, const Record& record, const std::string& cycle,
                                      const std::filesystem::path& folder = {});

/// The newest notes on the record of a cycle; none is an empty set.
vision::Result<app::known::Told> ToldIn(Book& book, const Cycle& cycle, const std::string& joint_id);

/// Lays the newest notes of a cycle beside a joint file, where the measuring looks for them.
vision::Status LayNotes(Book& book, const Cycle& cycle, const std::filesystem::path& joint_file);

/// Lays the before/after files of a cycle into `folder`. @return Each change.json.
vision::Result<std::vector<std::filesystem::path>> LayChanges(Book& book, const Cycle& cycle,
                                                              const std::filesystem::path& folder);

}  // namespace app::book
