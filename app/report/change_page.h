#pragma once

#include "app/compare/change_read.h"
#include "app/report/content.h"
#include "app/report/report.h"

/// Before and after a blend, as a part of the record and as a page of its own: the two strips laid on each other, the
/// difference marked, footprint and depths with their uncertainty or the reason why there is none, what became of each
/// indication. Computes nothing; supports and never replaces the qualified examiner.
namespace app::report {

/// Before and after beside each other, the difference of brightness below, with the outline, degrees and millimetres.
Figure ChangeFigure(const compare::SaidChange& change, double width_mm);

/// Appends heading, figure, tables and notes.
void AddChange(const compare::SaidChange& change, double text_width_mm, Content& content);

/// Writes change.html and change.pdf into `out_dir`, each whole.
/// @return kBadInput for a picture that is missing or of another size; kIo when the folder cannot be written.
vision::Result<ReportFiles> WriteChangePage(const compare::SaidChange& change, const std::filesystem::path& out_dir,
                                            Paper paper, const HousePaper& house = {});

/// @return kBadInput naming the picture that is missing or of another size than the file says.
vision::Status CheckPictures(const compare::SaidChange& change);

}  // namespace app::report
