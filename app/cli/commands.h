#pragma once

#include <CLI/CLI.hpp>

#include "app/cli/session.h"

/// One function a command: adds it to the program; what it does runs through `session`, which keeps the exit code.
namespace app::cli {

void AddNew(CLI::App& program, Session& session);
void AddCalibrate(CLI::App& program, Session& session);
void AddUnroll(CLI::App& program, Session& session);
void AddMeasure(CLI::App& program, Session& session);
void AddJudge(CLI::App& program, Session& session);
void AddReport(CLI::App& program, Session& session);
void AddRun(CLI::App& program, Session& session);
void AddBlend(CLI::App& program, Session& session);
void AddCompare(CLI::App& program, Session& session);
void AddBook(CLI::App& program, Session& session);
void AddBatch(CLI::App& program, Session& session);
void AddPod(CLI::App& program, Session& session);
void AddResolve(CLI::App& program, Session& session);
void AddRepeat(CLI::App& program, Session& session);
void AddArc(CLI::App& program, Session& session);
void AddScan(CLI::App& program, Session& session);
void AddWatch(CLI::App& program, Session& session);
void AddHandbook(CLI::App& program, Session& session);
void AddBoard(CLI::App& program, Session& session);

}  // namespace app::cli
