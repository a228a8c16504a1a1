// book_worker BOOK LOG MILLISECONDS WORKER: a batch worker that measures nothing: it waits, and notes in LOG what it
// was given. For tests of the queue.
#include <fcntl.h>
#include <unistd.h>

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <thread>

#include "app/book/batch.h"
#include "app/joint/joint.h"
#include "vision/base/file.h"

using namespace app::book;

int main(int argc, char** argv) {
  if (argc != 5) return 2;
  auto book = Book::Open(argv[1]);
  if (!book.ok()) return std::fprintf(stderr, "%s\n", book.error().message.c_str()), 2;
  const std::string log = argv[2], worker = argv[4];
  const auto pause = std::chrono::milliseconds(std::atoi(argv[3]));
  const MeasureFunction measure = [&](const std::filesystem::path& joint_file, const std::string& recording,
                                      const std::filesystem::path&, const vision::JobContext&) {
    auto joint = app::joint::LoadJoint(joint_file);
    if (!joint.ok()) return vision::Result<BatchResult>(joint.error());
    const std::string line =
        worker + " " + joint.value().id + " " + recording + " " + std::to_string(::getpid()) + "\n";
    const int file = ::open(log.c_str(), O_WRONLY | O_APPEND | O_CREAT, 0644);
    (void)!::write(file, line.data(), line.size());
    ::close(file);
    std::this_thread::sleep_for(pause);
    BatchResult result;
    result.reading_json = "{\"by\": \"" + worker + "\", \"joint\": \"" + joint.value().id + "\"}";
    result.reading.recordings = {recording};
    result.settings = "none: a test";
    return vision::Result<BatchResult>(std::move(result));
  };
  QueueOptions options;
  options.lease_s = 2;
  auto report = RunWorker(*book.value(), worker, measure, options);
  if (!report.ok()) return std::fprintf(stderr, "%s\n", report.error().message.c_str()), 2;
  return 0;
}
