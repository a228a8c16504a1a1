#include "app/joint/mount.h"

#include <nlohmann/json.hpp>
#include <sstream>

#include "vision/base/number.h"

namespace app::joint {
namespace {

constexpr const char* kRight = "it must be like centred=2,tilt=3,distance=60,distance-u=10 (mm, degrees, mm, mm)";

vision::Error Wrong(const std::string& text, const std::string& what) {
  return vision::BadInput("--mount '" + text + "' " + what + "; " + kRight + ".");
}

}  // namespace

vision::pose::MountPrior MountFromJson(const nlohmann::json& json) {
  vision::pose::MountPrior mount;
  if (json.contains("centred_u_mm")) mount.centred_u_mm = json.at("centred_u_mm").get<double>();
  if (json.contains("tilt_u_deg")) mount.tilt_u_deg = json.at("tilt_u_deg").get<double>();
  if (json.contains("distance_mm")) mount.distance_mm = json.at("distance_mm").get<double>();
  mount.distance_u_mm = json.value("distance_u_mm", mount.distance_u_mm);
  return mount;
}

vision::Result<vision::pose::MountPrior> MountFromText(const std::string& text) {
  vision::pose::MountPrior mount;
  std::istringstream words(text);
  for (std::string word; std::getline(words, word, ',');) {
    const auto sign = word.find('=');
    if (sign == std::string::npos) return Wrong(text, "has no value in '" + word + "'");
    const std::string name = word.substr(0, sign);
    const auto value = vision::NumberFrom(word.substr(sign + 1), "--mount " + name);
    if (!value.ok()) return value.error();
    if (!(value.value() > 0)) return Wrong(text, "gives " + name + " a value that is not above 0");
    if (name == "centred")
      mount.centred_u_mm = value.value();
    else if (name == "tilt")
      mount.tilt_u_deg = value.value();
    else if (name == "distance")
      mount.distance_mm = value.value();
    else if (name == "distance-u")
      mount.distance_u_mm = value.value();
    else
      return Wrong(text, "names '" + name + "', which is unknown");
  }
  if (!mount.centred_u_mm && !mount.tilt_u_deg && !mount.distance_mm) return Wrong(text, "tells nothing");
  return mount;
}

}  // namespace app::joint
