#include "vision/live/watch_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "vision/live/schema_text.h"  // generated from watch.schema.json

namespace vision::live {
namespace {

using Json = nlohmann::ordered_json;

Json Number(double value, double unit = 1e-3) {
  return std::isfinite(value) ? Json(std::round(value / unit) * unit) : Json(nullptr);
}

Json TimesJson(const Times& times) {
  const bool none = times.count() == 0;
  return {{"count", times.count()},
          {"p50", Number(times.AtShare(0.5))},
          {"p95", Number(times.AtShare(0.95))},
          {"p99", Number(times.AtShare(0.99))},
          {"max", none ? Json(nullptr) : Number(times.max_ms())}};
}

Json OutagesJson(const std::vector<Outage>& outages) {
  Json list = Json::array();
  for (const auto& outage : outages)
    list.push_back(
        {{"at_s", Number(outage.at_s)}, {"lasted_s", outage.lasted_s ? Number(*outage.lasted_s) : Json(nullptr)}});
  return list;
}

}  // namespace

std::string WatchSchema() { return kWatchSchema; }

std::string WatchJson(const WatchOptions& options, const Watched& watched) {
  const auto& f = watched.figures;
  Json json{{"format", "rootscroll.watch/1"}, {"source", options.reader.source}, {"camera", options.camera}};
  json["seconds"] = Number(f.seconds);
  json["ended_by"] = f.ended_by;
  json["frames"] = {{"came", f.came},         {"processed", f.processed},       {"dropped", f.dropped},
                    {"followed", f.followed}, {"found_afresh", f.found_afresh}, {"no_pose", f.no_pose},
                    {"welding", f.welding},   {"keyframes", f.keyframes}};
  json["latency_ms"] = TimesJson(f.latency);
  json["latency_ms"]["from"] = "frame decoded in this process, to strip and toes done";
  json["work_ms"] = {{"drawing", TimesJson(f.drawing)},
                     {"track", TimesJson(f.track)},
                     {"strip", TimesJson(f.strip)},
                     {"toes", TimesJson(f.toes)}};
  json["memory_mib"] = {{"start", Number(f.memory_start_mib, 0.1)},
                        {"end", Number(f.memory_now_mib, 0.1)},
                        {"peak", Number(f.memory_peak_mib, 0.1)}};
  json["outages"] = OutagesJson(f.outages);
  json["coverage"] = Json::array();
  for (const double part : f.coverage) json["coverage"].push_back(Number(part));
  json["coverage_of"] = {{"either_side_mm", options.strip.coverage_mm},
                         {"finer_than_mm", options.strip.fine_enough_mm}};
  json["hints"] = Json::object();
  for (const auto& [hint, share] : f.hints) json["hints"][hint] = Number(share);
  json["recording"] = {{"files", f.record_files}, {"written", f.recorded}, {"lost", f.record_lost}};
  json["strip"] = {{"columns", watched.grid.columns},
                   {"rows", watched.grid.rows},
                   {"pitch_mm", Number(watched.grid.pitch_mm, 1e-6)},
                   {"z_from_mm", Number(watched.grid.z_from_mm)}};
  return json.dump(1) + "\n";
}

}  // namespace vision::live
