#include <CLI/CLI.hpp>
#include <cstdio>
#include <cstdlib>
#include <exception>

#include "app/cli/commands.h"
#include "app/cli/describe.h"
#include "app/cli/renamed.h"
#include "vision/base/memory.h"

int main(int argc, char** argv) {
  vision::KeepFreedMemory();
  // FFmpeg behind OpenCV speaks on standard error of every small fault; what matters is counted and said by ReadVideo.
  ::setenv("OPENCV_FFMPEG_LOGLEVEL", "-8", 0);
  CLI::App program{
      "Rootscroll: recordings made inside a pipe become measurements a weld can be judged by.\n"
      "An aid to examination: it supports and never replaces the qualified examiner, the contract's code edition and "
      "local rules.",
      "rootscroll"};
  program.set_version_flag("--version", std::string("rootscroll ") + ROOTSCROLL_VERSION);
  program.require_subcommand(1);
  program.fallthrough();
  program.footer(
      "Exit: 0 done and every rule within its limit; 1 a rule exceeds its limit; 3 no limit exceeded, but something "
      "undecided, "
      "not measured, not examined or no weld found; 2 bad input.");
  app::cli::Session session;
  program.add_flag("--quiet", session.quiet, "Say errors only");
  program.add_flag("--json", session.json, "A JSON summary on standard output");
  app::cli::AddNew(program, session);
  app::cli::AddBoard(program, session);
  app::cli::AddCalibrate(program, session);
  app::cli::AddUnroll(program, session);
  app::cli::AddMeasure(program, session);
  app::cli::AddJudge(program, session);
  app::cli::AddReport(program, session);
  app::cli::AddRun(program, session);
  app::cli::AddBlend(program, session);
  app::cli::AddCompare(program, session);
  app::cli::AddBook(program, session);
  app::cli::AddBatch(program, session);
  app::cli::AddPod(program, session);
  app::cli::AddRepeat(program, session);
  app::cli::AddResolve(program, session);
  app::cli::AddArc(program, session);
  app::cli::AddScan(program, session);
  app::cli::AddWatch(program, session);
  app::cli::AddHandbook(program, session);
  if (argc == 2 && std::string(argv[1]) == "--describe") {  // for scripts/man_pages, not for people
    std::printf("%s\n", app::cli::Describe(program).c_str());
    return app::cli::kDone;
  }
  if (const auto renamed = app::cli::RefuseOldName({argv + 1, argv + argc})) {
    session.Fail(*renamed);
    return session.exit_code;
  }
  try {
    program.parse(argc, argv);
  } catch (const CLI::ParseError& problem) {
    return program.exit(problem) == 0 ? app::cli::kDone : app::cli::kBadInput;
  } catch (const std::exception&) {  // what a library says of itself helps nobody
    session.Fail(vision::BadInput(
        "This input leads to a place the program was not made for; it stopped there. Please report it."));
  }
  return session.exit_code;
}
