#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <map>
#include <thread>

#include "app/book/batch.h"

extern char** environ;

namespace app::book {

namespace {
/// Starts `command` with the worker's name behind it; 0 when it does not start.
pid_t Start(std::vector<std::string> command, const std::string& worker) {
  command.push_back(worker);
  std::vector<char*> arguments;
  for (auto& word : command) arguments.push_back(word.data());
  arguments.push_back(nullptr);
  pid_t child = 0;
  return ::posix_spawn(&child, arguments[0], nullptr, nullptr, arguments.data(), environ) == 0 ? child : 0;
}

/// The processes at work; ends those that are left when it goes out of scope.
struct Processes {
  std::map<pid_t, std::string> names;
  ~Processes() {
    for (const auto& [pid, name] : names) ::kill(pid, SIGINT);
    for (const auto& [pid, name] : names) ::waitpid(pid, nullptr, 0);
  }
};
}  // namespace

std::string WorkerName(int pid, int number) {
  char host[256] = "host";
  ::gethostname(host, sizeof host - 1);
  return std::string(host) + "-" + std::to_string(pid) + "-" + std::to_string(number);
}

vision::Status RunWorkers(Book& book, int workers, const std::vector<std::string>& command,
                          const std::function<void(const std::string&)>& said, const vision::JobContext& job) {
  constexpr int kMostDeaths = 20;
  Processes processes;
  int started = 0, deaths = 0;
  const auto start = [&]() -> vision::Status {
    const std::string name = WorkerName(::getpid(), started++);
    const pid_t child = Start(command, name);
    if (child == 0) return vision::Error{vision::ErrorCode::kIo, "Cannot start a worker: " + command.front() + "."};
    processes.names[child] = name;
    return std::nullopt;
  };
  for (int i = 0; i < workers; ++i)
    if (auto failed = start()) return failed;
  vision::Status trouble;
  while (!processes.names.empty() && !job.Cancelled()) {
    int status = 0;
    const pid_t ended = ::waitpid(-1, &status, WNOHANG);
    const auto at = processes.names.find(ended);
    if (at == processes.names.end()) {
      std::this_thread::sleep_for(std::chrono::milliseconds(50));
      continue;
    }
    const std::string name = at->second;
    processes.names.erase(at);
    if (WIFEXITED(status) && WEXITSTATUS(status) == 0) continue;
    auto freed = GiveBack(book, name);
    if (!freed.ok()) return freed.error();
    if (WIFEXITED(status)) {  // it said itself why; the others go on
      trouble = vision::Error{vision::ErrorCode::kIo, "The worker " + name + " ended with an error."};
      continue;
    }
    said("The worker " + name + " died (signal " + std::to_string(WTERMSIG(status)) + "); " +
         std::to_string(freed.value()) + " claim given back, another worker is started.");
    if (++deaths > kMostDeaths) return vision::Error{vision::ErrorCode::kIo, "Workers die again and again; stopped."};
    if (auto failed = start()) return failed;
  }
  if (job.Cancelled()) return vision::Cancelled();
  return trouble;
}

}  // namespace app::book
