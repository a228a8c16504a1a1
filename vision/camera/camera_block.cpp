#include <cmath>
#include <nlohmann/json.hpp>
#include <regex>

#include "vision/camera/calibrate.h"

namespace vision::camera {

Result<std::string> CameraBlockJson(const CalibrationReport& report, const CameraBlockFacts& facts) {
  if (facts.id.empty()) return BadInput("camera: id is empty; it must be a short name such as head.");
  static const std::regex kDate(R"(\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01]))");  ///< Format: of a day.
  if (!std::regex_match(facts.date, kDate))
    return BadInput("camera: calibration.date is '" + facts.date + "'; it must be YYYY-MM-DD.");
  if (auto broken = report.lens.Check()) return *broken;
  const Lens& lens = report.lens;
  nlohmann::ordered_json block{{"id", facts.id},         {"model", NameOf(lens.model)},
                               {"width", lens.width_px}, {"height", lens.height_px},
                               {"fx", lens.fx_px},       {"fy", lens.fy_px},
                               {"cx", lens.cx_px},       {"cy", lens.cy_px}};
  if (lens.model == LensModel::kOmni) block["xi"] = lens.xi;
  block["distortion"] = lens.distortion;
  block["max_angle_deg"] = std::floor(lens.max_angle_deg * 1e4) / 1e4;
  block["calibration"] = {{"date", facts.date}, {"target", report.board.Text()}};
  if (!facts.lens_serial.empty()) block["calibration"]["lens_serial"] = facts.lens_serial;
  return block.dump(2);
}

}  // namespace vision::camera
