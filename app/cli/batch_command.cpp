#include <unistd.h>

#include "app/book/batch.h"
#include "app/cli/book_steps.h"
#include "app/cli/commands.h"

namespace app::cli {
namespace {

struct BatchArguments {
  BookArguments book;
  vision::reading::MeasureOptions measure;
  app::book::QueueOptions queue;
  int workers = 1;
  bool again = false;
  std::string as_worker;
};

std::string CountText(const std::map<std::string, int>& counts) {
  return std::to_string(counts.at("measured")) + " measured, " + std::to_string(counts.at("failed")) +
         " cannot be measured, " + std::to_string(counts.at("pending") + counts.at("claimed")) + " still to do";
}

void SayTroubles(app::book::Book& book, Session& session) {
  auto rows = book.database().Run("SELECT joint, cycle, id, trouble FROM recording WHERE state = 'failed'");
  if (!rows.ok()) return session.Fail(rows.error());
  for (const auto& row : rows.value())
    session.Say("  " + row.Text(0) + ", " + row.Text(1) + ", " + row.Text(2) + ": " + row.Text(3));
}

/// This program's own command line for a worker; its name comes behind it.
std::vector<std::string> WorkerCommand(const BatchArguments& arguments) {
  std::vector<std::string> command{"/proc/self/exe", "--quiet", "batch", arguments.book.address};
  if (!arguments.book.evidence.empty()) command.insert(command.end(), {"--evidence", arguments.book.evidence});
  const auto& measure = arguments.measure;
  command.insert(command.end(), {"--pitch-mm", std::to_string(measure.pitch_mm), "--video-frames",
                                 std::to_string(measure.video_frames), "--lease-s",
                                 std::to_string(arguments.queue.lease_s), "--as-worker"});
  return command;
}

void RunBatch(const BatchArguments& arguments, Session& session) {
  if (auto wrong = arguments.measure.Check()) return session.Fail(*wrong);
  auto book = OpenBook(arguments.book, false, session);
  if (!book) return;
  if (!arguments.as_worker.empty()) {
    auto report = app::book::RunWorker(*book, arguments.as_worker, app::book::MeasureAndJudge(arguments.measure),
                                       arguments.queue, session.Job());
    if (!report.ok()) session.Fail(report.error());
    return;
  }
  if (arguments.again) {
    auto again = app::book::TryFailedAgain(*book);
    if (!again.ok()) return session.Fail(again.error());
  }
  auto failed = app::book::RunWorkers(
      *book, arguments.workers, WorkerCommand(arguments), [&session](const std::string& line) { session.Say(line); },
      session.Job());
  if (failed) session.Fail(*failed);
  auto counts = app::book::QueueCounts(*book);
  if (!counts.ok()) return session.Fail(counts.error());
  session.Say(CountText(counts.value()));
  SayTroubles(*book, session);
  session.Say(CautionText());
  if (!failed && counts.value()["failed"] > 0) session.exit_code = kOpen;
}
}  // namespace

void AddBatch(CLI::App& program, Session& session) {
  auto* command = program.add_subcommand("batch", "Measure every recording that waits in a joint book");
  auto arguments = std::make_shared<BatchArguments>();
  AddBookAddress(*command, arguments->book);
  command->add_option("--workers", arguments->workers, "Processes on this machine; other machines may run `batch` too")
      ->check(CLI::Range(1, 64))
      ->capture_default_str();
  command->add_option("--pitch-mm", arguments->measure.pitch_mm, "Cell of the strip, mm")->capture_default_str();
  command->add_option("--video-frames", arguments->measure.video_frames, "Sharpest frames taken from a video")
      ->capture_default_str();
  command->add_option("--lease-s", arguments->queue.lease_s, "A claim not renewed for so long is free again, seconds")
      ->check(CLI::Range(1.0, 86400.0))
      ->capture_default_str();
  command->add_flag("--retry-failed", arguments->again, "Try again what could not be measured");
  command->add_option("--as-worker", arguments->as_worker)->group("");
  command->callback([arguments, &session] { RunBatch(*arguments, session); });
}

}  // namespace app::cli
