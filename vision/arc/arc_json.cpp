#include <cmath>
#include <nlohmann/json.hpp>

#include "vision/arc/follow.h"
#include "vision/arc/schema_text.h"  // generated from arc.schema.json
#include "vision/base/schema.h"

namespace vision::arc {
namespace {

using Json = nlohmann::ordered_json;

Json Number(double value, double per_unit = 1000) {
  return std::isfinite(value) ? Json(std::round(value * per_unit) / per_unit) : Json(nullptr);
}

constexpr const char* kWriter = "`rootscroll arc`";

Json BurnsJson(const Course& course) {
  Json burns = Json::array();
  for (const auto& b : course.burns)
    burns.push_back({{"from_s", Number(b.from_s)},
                     {"to_s", Number(b.to_s)},
                     {"from_theta_deg", Number(b.from_theta_deg)},
                     {"to_theta_deg", Number(b.to_theta_deg)},
                     {"stood_s", Number(b.stood_s)},
                     {"back_mm", Number(b.back_mm)}});
  return burns;
}

Json StopsJson(const Course& course) {
  Json stops = Json::array();
  for (const auto& s : course.stops)
    stops.push_back({{"from_s", Number(s.from_s)},
                     {"to_s", Number(s.to_s)},
                     {"theta_deg", Number(s.theta_deg)},
                     {"arc", s.arc_on ? "on" : "off"}});
  return stops;
}

Json MomentsJson(const Course& course) {
  Json moments{{"time_s", Json::array()},
               {"frame", Json::array()},
               {"theta_deg", Json::array()},
               {"speed_mm_min", Json::array()},
               {"speed_u_mm_min", Json::array()}};
  for (const auto& m : course.moments) {
    moments["time_s"].push_back(Number(m.time_s));
    moments["frame"].push_back(m.index);
    moments["theta_deg"].push_back(Number(m.theta_deg, 100));
    moments["speed_mm_min"].push_back(Number(m.speed_mm_min, 10));
    moments["speed_u_mm_min"].push_back(Number(m.speed_u_mm_min, 10));
  }
  return moments;
}

}  // namespace

Result<std::string> ToJson(const Welding& welding) {
  const auto& course = welding.course;
  Json json{{"format", "rootscroll.arc/1"}, {"recording", welding.recording}, {"source", welding.source}};
  json["kind"] = welding.info.kind;
  json["duration_s"] = Number(welding.duration_s);
  json["frames"] = welding.frames;
  json["radius_mm"] = Number(welding.radius_mm);
  json["radius_u_mm"] = Number(welding.radius_u_mm);
  json["clockwise_looking_along_plus_z"] = course.clockwise;
  json["theta_u_deg"] = Number(welding.theta_u_deg);
  json["swept_deg"] = Number(course.swept_deg);
  json["overlap_deg"] = Number(course.overlap_deg);
  json["swept_u_deg"] = Number(welding.swept_u_deg);
  json["mean_speed_mm_min"] = Number(course.mean_speed_mm_min, 10);
  json["mean_speed_u_mm_min"] = Number(welding.mean_speed_u_mm_min, 10);
  json["scatter_mm"] = Number(course.scatter_mm);
  json["full_share"] = Number(welding.full_share);
  json["camera"] = {{"found_at_s", Number(welding.start_s)},
                    {"tilt_deg", Number(welding.start.tilt_deg())},
                    {"z_mm", Number(welding.start.bore_from_cam.translation_mm.z())}};
  json["burns"] = BurnsJson(course);
  json["stops"] = StopsJson(course);
  json["welded_at_s"] = Json::array();
  for (int degree = 0; degree < 360; ++degree) json["welded_at_s"].push_back(Number(WeldedAt(course, degree)));
  json["moments"] = MomentsJson(course);
  json["gaps"] = Json::array();
  for (const auto& gap : welding.gaps)
    json["gaps"].push_back({{"from_s", Number(gap.from_s)}, {"to_s", Number(gap.to_s)}, {"why", gap.why}});
  json["picture"] = "arc.png";
  json["notes"] = welding.notes;
  std::string text = json.dump(1) + "\n";
  if (auto broken = CheckJsonText(text, kArcSchema, "arc.json", kWriter)) return *broken;
  return text;
}

Result<WeldedTimes> FromJson(const std::string& text, const std::string& name) {
  if (auto broken = CheckJsonText(text, kArcSchema, name, kWriter)) return *broken;
  const auto json = nlohmann::json::parse(text);
  WeldedTimes times{json["recording"], json["source"], {}, {}, json["theta_u_deg"]};
  for (const auto& stop : json["stops"])
    times.stops.push_back({stop["from_s"], stop["to_s"], stop["theta_deg"], stop["arc"] == "on"});
  for (const auto& at : json["welded_at_s"]) times.time_s.push_back(at.is_null() ? std::nan("") : at.get<double>());
  return times;
}

}  // namespace vision::arc
