#pragma once

#include <filesystem>

#include "app/repair/repair_plan.h"
#include "app/report/report.h"

/// The card for the operator of the grinder: one page, greyscale, large print. Says go or no-go, where, how deep, how
/// wide, where to stop. It supports and never replaces the qualified examiner and the authorised repair procedure.
namespace app::report {

/// Writes card.html and card.pdf into `out_dir`, each whole.
/// @return kIo when the folder cannot be written.
vision::Result<ReportFiles> WriteCard(const repair::RepairPlan& plan, const std::filesystem::path& out_dir, Paper paper,
                                      const HousePaper& house = {});

}  // namespace app::report
