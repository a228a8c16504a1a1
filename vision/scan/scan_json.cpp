#include <cmath>
#include <nlohmann/json.hpp>

#include "vision/base/schema.h"
#include "vision/scan/scan.h"
#include "vision/scan/schema_text.h"  // generated from scan.schema.json

namespace vision::scan {
namespace {

using Json = nlohmann::ordered_json;

Json Number(double value, double digits = 1000) {
  return std::isfinite(value) ? Json(std::round(value * digits) / digits) : Json(nullptr);
}

Json WeldJson(const WeldFound& weld, bool calibrated) {
  Json json{{"from_s", Number(weld.from_s)}, {"to_s", Number(weld.to_s)}, {"arc_seen", weld.arc_seen}};
  json["best"] = nullptr;
  if (weld.proposed)
    json["best"] = {{"from_s", Number(weld.best_from_s)},
                    {"to_s", Number(weld.best_to_s)},
                    {"first_frame", weld.best_first_index},
                    {"last_frame", weld.best_last_index},
                    {"sharpest_frame", weld.sharpest_index},
                    {"sharpest_s", Number(weld.sharpest_s)},
                    {"blur_px", Number(weld.blur_px)},
                    {"glare", Number(weld.glare, 1e5)},
                    {"distance_radii", calibrated && weld.distance_radii > 0 ? Number(weld.distance_radii) : nullptr}};
  json["refused"] = Json::array();
  for (const auto& r : weld.refused)
    json["refused"].push_back({{"from_s", Number(r.from_s)}, {"to_s", Number(r.to_s)}, {"why", SentenceOf(r.why)}});
  return json;
}

Json LooksJson(const std::vector<FrameLook>& looks, bool calibrated) {
  Json json{{"time_s", Json::array()},         {"level", Json::array()},       {"glare", Json::array()},
            {"blur_px", Json::array()},        {"change", Json::array()},      {"ring_strength", Json::array()},
            {"distance_radii", Json::array()}, {"by_structure", Json::array()}};
  for (const auto& look : looks) {
    json["time_s"].push_back(Number(look.time_s));
    json["level"].push_back(Number(look.level));
    json["glare"].push_back(Number(look.glare, 1e5));
    json["blur_px"].push_back(Number(look.blur_px, 100));
    json["change"].push_back(Number(look.change));
    json["ring_strength"].push_back(look.weld ? Number(look.weld->ring_strength, 10) : Json(nullptr));
    const bool seen = look.weld && WeldSeen(*look.weld, {});
    json["distance_radii"].push_back(seen && calibrated ? Number(look.weld->distance_radii) : Json(nullptr));
    json["by_structure"].push_back(seen ? Json(look.weld->by_structure) : Json(nullptr));
  }
  return json;
}

}  // namespace

Status CheckScanJson(const std::string& text, const std::string& name) {
  return CheckJsonText(text, kScanSchema, name, "`rootscroll scan`");
}

Result<std::string> ToJson(const Scanned& scanned) {
  Json json{{"format", "rootscroll.scan/1"}, {"source", scanned.source}, {"kind", scanned.info.kind}};
  json["width_px"] = scanned.info.size.width;
  json["height_px"] = scanned.info.size.height;
  json["duration_s"] = Number(scanned.duration_s);
  json["frames"] = scanned.frames;
  json["looked_at"] = scanned.looked_at;
  json["camera_known"] = scanned.camera_known;
  json["usual_blur_px"] = Number(scanned.sorted.usual_blur_px);
  json["blurred_above_px"] = Number(scanned.sorted.blurred_above_px);
  json["stretches"] = Json::array();
  for (const auto& s : scanned.sorted.stretches)
    json["stretches"].push_back(
        {{"from_s", Number(s.from_s)}, {"to_s", Number(s.to_s)}, {"shows", NameOf(s.shows)}, {"note", s.note}});
  json["welds"] = Json::array();
  for (const auto& weld : scanned.sorted.welds) json["welds"].push_back(WeldJson(weld, scanned.camera_known));
  json["damage"] = Json::array();
  for (const auto& d : scanned.damage)
    json["damage"].push_back(
        {{"from_s", Number(d.from_s)}, {"to_s", Number(d.to_s)}, {"frames", d.frames}, {"what", d.what}});
  json["burned_in"] = Json::array();
  for (const auto& [r, from_s, to_s] : scanned.burned_in)
    json["burned_in"].push_back({{"u_px", r.x},
                                 {"v_px", r.y},
                                 {"width_px", r.width},
                                 {"height_px", r.height},
                                 {"from_s", Number(from_s)},
                                 {"to_s", Number(to_s)}});
  json["looks"] = LooksJson(scanned.looks, scanned.camera_known);
  json["picture"] = "timeline.png";
  json["notes"] = scanned.notes;
  auto text = json.dump(1) + "\n";
  if (auto broken = CheckScanJson(text, "scan.json")) return *broken;
  return text;
}

}  // namespace vision::scan
