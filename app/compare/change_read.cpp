#include "app/compare/change_read.h"

#include <nlohmann/json.hpp>

#include "app/compare/compare.h"
#include "vision/base/file.h"

namespace app::compare {
namespace {

using nlohmann::json;
using vision::match::Spot;

SaidDepth DepthFrom(const json& j) {
  SaidDepth depth;
  depth.why = vision::SentenceFrom(j.at("why"));
  if (j.at("mm").is_null()) return depth;
  depth.mm = j.at("mm").get<double>();
  depth.u_mm = j.at("u_mm"), depth.theta_deg = j.at("theta_deg"), depth.z_mm = j.at("z_mm");
  return depth;
}

std::optional<SaidSlope> SlopeFrom(const json& pocket, const char* side) {
  if (!pocket.contains(side)) return std::nullopt;
  const json& j = pocket.at(side);
  SaidSlope slope;
  slope.why = vision::SentenceFrom(j.at("why"));
  if (j.at("deg").is_null()) return slope;
  slope.deg = j.at("deg").get<double>();
  slope.u_deg = j.at("u_deg"), slope.z_from_mm = j.at("z_from_mm"), slope.z_to_mm = j.at("z_to_mm");
  slope.against_plan = j.value("against_plan", "");
  return slope;
}

Spot SpotFrom(const json& j) {
  return {{j.at("theta_deg"), j.at("z_mm")}, j.at("circ_mm"), j.at("axial_mm"), j.at("area_mm2")};
}

std::vector<Spot> SpotsFrom(const json& list) {
  std::vector<Spot> spots;
  for (const auto& one : list) spots.push_back(SpotFrom(one));
  return spots;
}

SaidPocket PocketFrom(const json& j) {
  SaidPocket p;
  p.middle = {j.at("theta_deg"), j.at("z_mm")};
  p.circ_mm = j.at("circ_mm"), p.circ_u_mm = j.at("circ_u_mm");
  p.axial_mm = j.at("axial_mm"), p.axial_u_mm = j.at("axial_u_mm");
  p.area_mm2 = j.at("area_mm2"), p.larger_than_seen = j.at("larger_than_seen");
  p.floor_below_wall = DepthFrom(j.at("floor_below_wall"));
  p.greatest_removal = DepthFrom(j.at("greatest_removal"));
  p.slope_left = SlopeFrom(j, "slope_left"), p.slope_right = SlopeFrom(j, "slope_right");
  for (const auto& at : j.at("outline")) p.outline.push_back({at.at(0), at.at(1)});
  p.still_seen = SpotsFrom(j.at("still_seen"));
  return p;
}

SaidLook LookFrom(const json& j) { return {j.at("recordings"), j.at("stage")}; }

SaidPicture PictureFrom(const json& j, const std::filesystem::path& folder) {
  const auto beside = [&](const char* key) {  // a name, never a path out of the folder
    return folder / std::filesystem::path(j.at(key).get<std::string>()).filename();
  };
  SaidPicture p{beside("before"), beside("after"), beside("difference")};
  p.theta_from_deg = j.at("theta_from_deg"), p.theta_pitch_deg = j.at("theta_pitch_deg");
  p.z_from_mm = j.at("z_from_mm"), p.pitch_mm = j.at("pitch_mm");
  p.columns = j.at("columns"), p.rows = j.at("rows");
  return p;
}

SaidChange From(const json& j, const std::filesystem::path& folder) {
  SaidChange c;
  c.joint_id = j.at("joint_id");
  c.before = LookFrom(j.at("before")), c.after = LookFrom(j.at("after"));
  const auto& laid = j.at("registration");
  c.turned_deg = laid.at("turned_deg"), c.residual_mm = laid.at("residual_mm"), c.agreeing = laid.at("agreeing");
  c.compared = j.at("compared");
  for (const auto& pocket : j.at("pockets")) c.pockets.push_back(PocketFrom(pocket));
  c.marks = SpotsFrom(j.at("marks"));
  for (const auto& f : j.at("followed"))
    c.followed.push_back({f.at("what"),
                          f.at("fate"),
                          vision::SentenceFrom(f.at("reason")),
                          {f.at("theta_deg"), f.at("z_mm")},
                          f.at("length_mm")});
  c.picture = PictureFrom(j.at("picture"), folder);
  c.depth_rule = j.at("depth_rule");
  for (const auto& note : j.at("notes")) c.notes.push_back(vision::SentenceFrom(note));
  return c;
}

}  // namespace

vision::Result<SaidChange> ReadChange(const std::filesystem::path& file) {
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  if (auto wrong = CheckChange(text.value(), file.string())) return *wrong;
  return From(json::parse(text.value()), file.parent_path());
}

}  // namespace app::compare
