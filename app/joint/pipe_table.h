#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/joint/joint.h"

/// Pipe sizes of ASME B36.10M and, for schedules that end in S, B36.19M (data: app/joint/pipe_sizes.json).
/// Traps the table keeps apart: 40 is not 40S at NPS 12; 80 is not 80S at NPS 10 and 12; XXS is thinner than 160 at
/// NPS 8 to 12; NPS 10 and 12 are 0.1 mm larger outside in B36.19M.
namespace app::joint {

/// One nominal size and schedule with what the mill tolerance makes of it.
struct PipeSize {
  std::string nps, schedule;  ///< As the table writes them.
  Sized outside_diameter, wall, inside_diameter;
};

/// Nominal pipe. The wall's tolerance (-12.5 % of nominal) is taken as the half width a of a rectangular distribution,
/// u(t) = a / sqrt(3) (JCGM 100:2008, 4.3.7), likewise the outside diameter's (from memory, marked so in the table);
/// bore d = D - 2 t, u(d)^2 = u(D)^2 + 4 u(t)^2.
/// @param nps "6", "2-1/2", "2.5", "2 1/2"; @param schedule "80", "10S", "STD", "XS", "XXS", upper and lower case
/// alike.
/// @return kBadInput with the sizes or the schedules that exist.
vision::Result<PipeSize> NominalPipe(const std::string& nps, const std::string& schedule);

/// Standard uncertainty of a nominal wall from the mill tolerance alone, mm.
double NominalWallU(double wall_mm);

/// Nominal sizes and, for one of them, its schedules, as the table writes them.
std::vector<std::string> NominalSizes();
std::vector<std::string> Schedules(const std::string& nps);

/// What the bore's uncertainty does to the strip, in one sentence: "... 2.5 % of every length on the strip ...".
/// The share is the expanded uncertainty (k = 2) of the inside diameter over the diameter itself.
vision::Sentence BoreUncertaintySentence(const Pipe& pipe);

}  // namespace app::joint
