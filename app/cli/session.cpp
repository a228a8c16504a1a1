#include "app/cli/session.h"

#include <spdlog/sinks/stdout_sinks.h>
#include <spdlog/spdlog.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <cstdio>

#include "vision/base/file.h"
#include "vision/base/text.h"

namespace app::cli {
namespace {

volatile std::sig_atomic_t interrupted = 0;
void OnInterrupt(int) { interrupted = 1; }

}  // namespace

Session::Session() {
  auto log = spdlog::stderr_logger_st("rootscroll");
  log->set_pattern("rootscroll: %l: %v");
  spdlog::set_default_logger(log);
  std::signal(SIGINT, OnInterrupt);
  watcher_ = std::jthread([this](std::stop_token ended) {
    while (!ended.stop_requested()) {
      if (interrupted) stop_.request_stop();
      std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
  });
}

Session::~Session() { spdlog::drop("rootscroll"); }

vision::JobContext Session::Job() {
  if (quiet || ::isatty(STDERR_FILENO) == 0) return {stop_.get_token(), {}};
  return {stop_.get_token(), [this](double fraction, std::string_view stage) {
            progress_shown_ = true;
            std::fprintf(stderr, "\r\033[K%3.0f %% %.*s", 100 * fraction, static_cast<int>(stage.size()), stage.data());
          }};
}

void Session::EndProgressLine() {
  if (progress_shown_.exchange(false)) std::fputs("\r\033[K", stderr);
}

void Session::Fail(const vision::Error& error) {
  EndProgressLine();
  if (error.code == vision::ErrorCode::kCancelled)
    spdlog::warn("stopped; nothing was written");
  else
    spdlog::error("{}", vision::Printable(error.message));
  exit_code = kBadInput;
}

void Session::FailLines(const std::string& text) {
  EndProgressLine();
  spdlog::error("{}", vision::PrintableLines(text));
  exit_code = kBadInput;
}

void Session::Say(const std::string& line) const {
  if (!quiet && !json) std::printf("%s\n", vision::PrintableLines(line).c_str());
}

vision::Result<vision::reading::Reading> LoadReading(const std::filesystem::path& folder) {
  const auto file = folder / "reading.json";
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  return vision::reading::FromJson(text.value(), file.string());
}

std::string CautionText() {
  std::string text;
  for (const auto& line : app::joint::StandingCautions()) text += "  " + line + "\n";
  return text;
}

}  // namespace app::cli
