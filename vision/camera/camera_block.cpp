#include <cmath>
#include <nlohmann/json.hpp>
#include <regex>

#include "vision/camera/calibrate.h"
#include "vision/camera/wall_marks.h"

namespace vision::camera {

namespace {

Result<std::string> Block(const Lens& lens, const CameraBlockFacts& facts, nlohmann::ordered_json calibration) {
  if (facts.id.empty()) return BadInput("camera: id is empty; it must be a short name such as head.");
  static const std::regex kDate(R"(\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01]))");  ///< Format: of a day.
  if (!std::regex_match(facts.date, kDate))
    return BadInput("camera: calibration.date is '" + facts.date + "'; it must be YYYY-MM-DD.");
  if (auto broken = lens.Check()) return *broken;
  nlohmann::ordered_json block{{"id", facts.id},         {"model", NameOf(lens.model)},
                               {"width", lens.width_px}, {"height", lens.height_px},
                               {"fx", lens.fx_px},       {"fy", lens.fy_px},
                               {"cx", lens.cx_px},       {"cy", lens.cy_px}};
  if (lens.model == LensModel::kOmni) block["xi"] = lens.xi;
  block["distortion"] = lens.distortion;
  block["max_angle_deg"] = std::floor(lens.max_angle_deg * 1e4) / 1e4;
  block["calibration"] = {{"date", facts.date}};
  block["calibration"].update(calibration);
  if (!facts.lens_serial.empty()) block["calibration"]["lens_serial"] = facts.lens_serial;
  return block.dump(2);
}

}  // namespace

Result<std::string> CameraBlockJson(const CalibrationReport& report, const CameraBlockFacts& facts) {
  return Block(report.lens, facts, {{"target", report.board.Text()}});
}

Result<std::string> CameraBlockJson(const WallCalibration& report, const CameraBlockFacts& facts) {
  return Block(report.lens, facts,
               {{"target", report.target.Text()}, {"sight_u_deg", std::ceil(report.sight_u_deg * 1e3) / 1e3}});
}

}  // namespace vision::camera
