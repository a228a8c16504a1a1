#pragma once

#include <atomic>
#include <filesystem>
#include <string>
#include <thread>

#include "app/joint/joint.h"
#include "app/joint/verdict.h"
#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/reading/reading.h"

namespace app::cli {

/// Exit codes: 0 done and every rule within; 1 a rule is beyond its limit; 3 nothing beyond but something undecided,
/// not measured, not examined or no weld found; 2 bad input.
constexpr int kDone = 0, kBeyond = 1, kBadInput = 2, kOpen = 3;

/// What all commands share: how much is said, the exit code, a way to stop (Ctrl-C).
class Session {
 public:
  Session();
  ~Session();
  Session(const Session&) = delete;
  Session& operator=(const Session&) = delete;

  bool quiet = false;  ///< Errors only.
  bool json = false;   ///< A JSON summary on standard output instead of sentences.
  int exit_code = kDone;

  /// Progress goes to standard error, on one line where that is a terminal.
  vision::JobContext Job();

  /// Says an error and sets the exit code; cancelled is said as such.
  void Fail(const vision::Error& error);

  /// As Fail, for a text of several lines whose values cannot begin one.
  void FailLines(const std::string& text);

  /// Lines for people on standard output, without what a terminal would obey; nothing when quiet or when JSON is
  /// wanted.
  void Say(const std::string& line) const;

 private:
  void EndProgressLine();
  std::stop_source stop_;
  std::atomic<bool> progress_shown_{false};
  std::jthread watcher_;  // last member: ends first
};

/// Reads DIR/reading.json.
vision::Result<vision::reading::Reading> LoadReading(const std::filesystem::path& folder);

/// The standing cautions as one block of text, shown wherever a verdict is.
std::string CautionText();

}  // namespace app::cli
