#include "app/viewer/stations.h"

#include <algorithm>

#include "app/repair/repair_file.h"
#include "vision/base/file.h"

namespace app::viewer {
namespace {

namespace fs = std::filesystem;

bool Same(const repair::Belt& a, const repair::Belt& b) {
  return a.view == b.view && a.numbers_run == b.numbers_run && a.zero_clock_deg == b.zero_clock_deg &&
         a.spacing_mm == b.spacing_mm && a.length_mm == b.length_mm;
}

}  // namespace

std::vector<fs::path> RepairFiles(const joint::Joint& joint) {
  const fs::path folder = joint.file.parent_path().empty() ? fs::path(".") : joint.file.parent_path();
  std::vector<fs::path> files;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed)) {
    if (entry.path().extension() != ".json") continue;
    const auto text = vision::ReadFileWhole(entry.path());
    if (text.ok() && text.value().find("rootscroll.repair/1") != std::string::npos) files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  return files;
}

std::optional<repair::Belt> FindBelt(const joint::Joint& joint, std::vector<std::string>& remarks) {
  std::optional<repair::Belt> found;
  for (const auto& file : RepairFiles(joint)) {
    const auto repair = repair::LoadRepair(file);
    if (!repair.ok()) {
      remarks.push_back(repair.error().message);
      continue;
    }
    if (repair.value().joint_id != joint.id || !repair.value().film) continue;
    const auto& belt = repair.value().film->belt;
    if (found && !Same(*found, belt)) {
      remarks.push_back("Repair files beside " + joint.file.string() +
                        " tell of different belts; stations on the outside are not shown.");
      return std::nullopt;
    }
    found = belt;
  }
  return found;
}

std::vector<Station> StationsOf(const repair::Belt& belt, double step_mm) {
  std::vector<Station> stations;
  for (int number = 0; number < belt.Numbers(); ++number) {
    const double from = number * belt.spacing_mm;
    const double room = number + 1 < belt.Numbers() ? belt.spacing_mm : belt.LastIntervalMm();
    stations.push_back({repair::ThetaOfBelt(belt, from), number, 0});
    for (double beyond = step_mm; step_mm > 0 && beyond < room - 0.5 * step_mm; beyond += step_mm)
      stations.push_back({repair::ThetaOfBelt(belt, from + beyond), number, beyond});
  }
  return stations;
}

Station StationAt(const repair::Belt& belt, double theta_deg) {
  const auto mark = repair::MarkOutside(belt, theta_deg, 0, {}, {});
  return {theta_deg, mark.number, mark.beyond_mm};
}

}  // namespace app::viewer
