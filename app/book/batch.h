#pragma once

#include <functional>
#include <string>

#include "app/book/queue.h"
#include "vision/base/job.h"
#include "vision/reading/measure.h"

/// Measures what the queue holds and puts each result into the record, once.
namespace app::book {

/// What measuring a recording gives: files in a folder, and what the record says about them.
struct BatchResult {
  std::string reading_json;
  std::vector<std::filesystem::path> pictures;
  ReadingEntry reading;  ///< Without its files.
  std::string verdict_json;
  VerdictEntry verdict;  ///< Without its file; empty criterion = no verdict.
  std::vector<FindingEntry> findings;
  std::string settings;
};

/// Measures the joint file's recording; may write files into `out`.
using MeasureFunction =
    std::function<vision::Result<BatchResult>(const std::filesystem::path& joint_file, const std::string& recording,
                                              const std::filesystem::path& out, const vision::JobContext& job)>;

/// The real one: the measuring pipeline, then the joint's own criterion.
MeasureFunction MeasureAndJudge(const vision::reading::MeasureOptions& options);

struct WorkerReport {
  int measured = 0, set_aside = 0, lost = 0;  ///< lost: measured, but the claim had passed to another worker.
};

/// Claims and measures until nothing is pending (claims of others are waited for, so that what a dead worker held is
/// done too) or the job is cancelled.
/// @param worker Unlike any other worker's name, anywhere.
vision::Result<WorkerReport> RunWorker(Book& book, const std::string& worker, const MeasureFunction& measure,
                                       const QueueOptions& options = {}, const vision::JobContext& job = {});

/// host-pid-n
std::string WorkerName(int pid, int number);

/// Runs `workers` processes of this program, each started with `command` and its worker name, until the queue is empty.
/// Claims of a process that dies are given back at once and another one is started in its place.
/// @param said Hears one line when a worker dies.
vision::Status RunWorkers(Book& book, int workers, const std::vector<std::string>& command,
                          const std::function<void(const std::string&)>& said, const vision::JobContext& job = {});

}  // namespace app::book
