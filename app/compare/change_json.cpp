#include <algorithm>
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>

#include "app/compare/compare.h"
#include "app/compare/schema_text.h"  // generated from change.schema.json
#include "app/joint/json_check.h"
#include "app/joint/verdict.h"
#include "vision/bore/angle.h"

namespace app::compare {
namespace {

using nlohmann::ordered_json;
using vision::bore::ClockText;
using vision::match::Pocket;

double Rounded(double value, int decimals) {
  const double scale = std::pow(10, decimals);
  return std::round(value * scale) / scale;
}

ordered_json SpotJson(const vision::match::Spot& spot) {
  return {{"theta_deg", Rounded(spot.place.theta_deg, 2)},
          {"z_mm", Rounded(spot.place.z_mm, 2)},
          {"circ_mm", Rounded(spot.circ_mm, 2)},
          {"axial_mm", Rounded(spot.axial_mm, 2)},
          {"area_mm2", Rounded(spot.area_mm2, 2)}};
}

template <typename List>
ordered_json SpotsJson(const List& spots) {
  auto list = ordered_json::array();
  for (const auto& spot : spots) list.push_back(SpotJson(spot));
  return list;
}

ordered_json DepthJson(const std::optional<vision::match::DepthAt>& depth, const vision::Reason& why) {
  ordered_json json{
      {"mm", nullptr}, {"u_mm", nullptr}, {"theta_deg", nullptr}, {"z_mm", nullptr}, {"why", EnglishOf(why)}};
  if (!depth) return json;
  json["mm"] = Rounded(depth->mm, 3), json["u_mm"] = Rounded(depth->u_mm, 3);
  json["theta_deg"] = Rounded(depth->place.theta_deg, 2), json["z_mm"] = Rounded(depth->place.z_mm, 2);
  return json;
}

ordered_json SlopeJson(const vision::match::FlankSlope& flank, const std::optional<double>& planned_taper) {
  ordered_json json{{"deg", nullptr},
                    {"u_deg", nullptr},
                    {"z_from_mm", nullptr},
                    {"z_to_mm", nullptr},
                    {"why", EnglishOf(flank.why)}};
  if (!flank.slope) return json;
  if (planned_taper) json["against_plan"] = AgainstPlan(*flank.slope, *planned_taper);
  json["deg"] = Rounded(flank.slope->deg, 2), json["u_deg"] = Rounded(flank.slope->u_deg, 2);
  json["z_from_mm"] = Rounded(flank.slope->from_z_mm, 2), json["z_to_mm"] = Rounded(flank.slope->to_z_mm, 2);
  return json;
}

ordered_json PocketJson(const Pocket& p, const vision::match::Depths& depths, const vision::match::Slopes& slopes,
                        const std::optional<double>& planned_taper, double radius_mm) {
  const double half_deg = 0.5 * p.circ_mm / radius_mm * vision::bore::kDegPerRad;
  auto outline = ordered_json::array();
  for (const auto& at : p.outline) outline.push_back({Rounded(at.theta_deg, 3), Rounded(at.z_mm, 3)});
  return {{"theta_deg", Rounded(p.middle.theta_deg, 3)},
          {"z_mm", Rounded(p.middle.z_mm, 3)},
          {"circ_mm", Rounded(p.circ_mm, 3)},
          {"circ_u_mm", Rounded(p.circ_u_mm, 3)},
          {"axial_mm", Rounded(p.axial_mm, 3)},
          {"axial_u_mm", Rounded(p.axial_u_mm, 3)},
          {"theta_from_deg", Rounded(vision::bore::Wrap360(p.middle.theta_deg - half_deg), 3)},
          {"theta_to_deg", Rounded(vision::bore::Wrap360(p.middle.theta_deg + half_deg), 3)},
          {"z_from_mm", Rounded(p.middle.z_mm - 0.5 * p.axial_mm, 3)},
          {"z_to_mm", Rounded(p.middle.z_mm + 0.5 * p.axial_mm, 3)},
          {"area_mm2", Rounded(p.area_mm2, 1)},
          {"extent_by", p.by_heights ? "heights" : "pictures"},
          {"larger_than_seen", p.cut_off},
          {"deviation", Rounded(p.score, 2)},
          {"texture_left", Rounded(p.texture, 3)},
          {"floor_below_wall", DepthJson(depths.floor, depths.floor_why)},
          {"greatest_removal", DepthJson(depths.removed, depths.removed_why)},
          {"slope_left", SlopeJson(slopes.left, planned_taper)},
          {"slope_right", SlopeJson(slopes.right, planned_taper)},
          {"still_seen", SpotsJson(p.still_seen)},
          {"outline", outline}};
}

ordered_json PictureJson(const Comparison& c) {
  const auto& grid = c.before.picture.grid;
  const Shown shown = ShownOf(c);
  return {{"before", "change_before.png"},
          {"after", "change_after.png"},
          {"difference", "change_difference.png"},
          {"theta_from_deg", Rounded(grid.ThetaDeg(shown.first_column), 4)},
          {"theta_pitch_deg", grid.theta_pitch_deg()},
          {"columns", shown.columns},
          {"rows", grid.rows},
          {"z_from_mm", grid.z_from_mm},
          {"pitch_mm", grid.pitch_mm}};
}

ordered_json LookJson(const Look& look) {
  return {{"folder", look.folder.string()},
          {"joint_id", look.reading.joint_id},
          {"recordings", look.reading.recordings},
          {"stage", look.reading.stage}};
}

std::string Words(vision::match::Fate fate) {
  std::string words = NameOf(fate);
  std::replace(words.begin(), words.end(), '_', ' ');
  return words;
}

std::string Line(const char* pattern, auto... values) {
  char line[320];
  std::snprintf(line, sizeof line, pattern, values...);
  return line;
}

std::string DepthText(const char* what, const std::optional<vision::match::DepthAt>& depth, const vision::Reason& why) {
  if (!depth) return Line("  %s: %s.\n", what, EnglishOf(why).c_str());
  return Line("  %s: %.2f mm (± %.2f, k = 2) at %.1f degrees, z %.1f mm.\n", what, depth->mm, 2 * depth->u_mm,
              depth->place.theta_deg, depth->place.z_mm);
}

std::string SlopeText(const char* what, const vision::match::FlankSlope& flank,
                      const std::optional<double>& planned_taper) {
  if (!flank.slope) return Line("  %s: %s.\n", what, EnglishOf(flank.why).c_str());
  return Line("  %s: %.1f degrees (± %.1f, k = 2), %s, over z %.1f to %.1f mm%s.\n", what, flank.slope->deg,
              2 * flank.slope->u_deg, TaperText(flank.slope->deg).c_str(), flank.slope->from_z_mm, flank.slope->to_z_mm,
              planned_taper ? Line("; against the plan's %g:1: %s", *planned_taper,
                                   AgainstPlan(*flank.slope, *planned_taper).c_str())
                                  .c_str()
                            : "");
}

}  // namespace

std::string AgainstPlan(const vision::match::SlopeAt& slope, double planned_taper) {
  const double planned_deg = std::atan(1 / planned_taper) * vision::bore::kDegPerRad;
  if (slope.deg + 2 * slope.u_deg <= planned_deg) return "no steeper";
  return slope.deg - 2 * slope.u_deg > planned_deg ? "steeper" : "not decided";
}

std::string TaperText(double slope_deg) {
  const double n = 1 / std::max(1e-6, std::tan(slope_deg * vision::bore::kRadPerDeg));
  if (n > 99) return "flatter than 99:1";
  return Line("%.1f:1", n);
}

std::string ToJson(const Comparison& c) {
  ordered_json json{
      {"format", "rootscroll.change/1"}, {"joint_id", c.joint_id}, {"program_version", ROOTSCROLL_VERSION}};
  json["before"] = LookJson(c.before);
  json["after"] = LookJson(c.after);
  json["registration"] = {{"turned_deg", Rounded(c.match.roll_deg, 2)},
                          {"residual_mm", Rounded(c.match.residual_mm, 3)},
                          {"agreeing", Rounded(c.match.agreeing, 3)},
                          {"lead", Rounded(c.match.lead, 2)}};
  if (c.planned_taper) json["planned_taper"] = *c.planned_taper;
  json["compared"] = Rounded(c.change.compared, 4);
  json["removed"] = !c.change.pockets.empty();
  json["pockets"] = ordered_json::array();
  for (std::size_t i = 0; i < c.change.pockets.size(); ++i)
    json["pockets"].push_back(
        PocketJson(c.change.pockets[i], c.depths[i], c.slopes[i], c.planned_taper, c.before.reading.bore_radius_mm));
  json["depth_rule"] = DepthRule();
  json["marks"] = SpotsJson(c.change.marks);
  json["followed"] = ordered_json::array();
  for (const auto& one : c.followed)
    json["followed"].push_back({{"what", one.what},
                                {"theta_deg", Rounded(one.place.theta_deg, 2)},
                                {"z_mm", Rounded(one.place.z_mm, 2)},
                                {"length_mm", Rounded(one.length_mm, 2)},
                                {"fate", NameOf(one.fate.fate)},
                                {"gone_mm", Rounded(one.fate.gone_mm, 2)},
                                {"remains_mm", Rounded(one.fate.remains_mm, 2)},
                                {"unseen_mm", Rounded(one.fate.unseen_mm, 2)},
                                {"reason", EnglishOf(one.fate.reason)}});
  json["picture"] = PictureJson(c);
  json["notes"] = ordered_json::array();
  for (const auto& note : c.notes) json["notes"].push_back(EnglishOf(note));
  json["cautions"] = app::joint::StandingCautions();
  return json.dump(2) + "\n";
}

vision::Status CheckChange(const std::string& text, const std::string& name) {
  auto json = joint::ParseJson(text, name);
  if (!json.ok()) return json.error();
  return joint::CheckSchemaText(json.value(), kChangeSchema, name);
}

std::string ToText(const Comparison& c) {
  std::string text = Line("Laid on each other by the wall: turned by %.1f degrees, residual %.2f mm, %.0f %% agree.\n",
                          c.match.roll_deg, c.match.residual_mm, 100 * c.match.agreeing);
  if (c.change.pockets.empty())
    text += Line("Nothing was removed, as far as the two recordings show (%.0f %% of the wall is seen in both).\n",
                 100 * c.change.compared);
  for (std::size_t i = 0; i < c.change.pockets.size(); ++i) {
    const auto& p = c.change.pockets[i];
    text += Line(
        "Ground pocket about %.1f degrees (%s o'clock), z %.1f mm: %.1f mm around (± %.1f), %.1f mm along (± %.1f, k = "
        "2; by %s).%s\n",
        p.middle.theta_deg, ClockText(p.middle.theta_deg).c_str(), p.middle.z_mm, p.circ_mm, 2 * p.circ_u_mm,
        p.axial_mm, 2 * p.axial_u_mm, p.by_heights ? "heights" : "pictures",
        p.cut_off ? " It reaches what was not seen: larger than that." : "");
    text += DepthText("Floor below the wall", c.depths[i].floor, c.depths[i].floor_why);
    text += DepthText("Greatest removal", c.depths[i].removed, c.depths[i].removed_why);
    text += SlopeText("Flank towards -z", c.slopes[i].left, c.planned_taper);
    text += SlopeText("Flank towards +z", c.slopes[i].right, c.planned_taper);
    for (const auto& s : p.still_seen)
      text += Line("  Something stands out in it at %.1f degrees, z %.1f mm, %.1f x %.1f mm: look.\n",
                   s.place.theta_deg, s.place.z_mm, s.circ_mm, s.axial_mm);
  }
  if (!c.change.pockets.empty()) text += DepthRule() + "\n";
  for (const auto& s : c.change.marks)
    text += Line("Changed outside: %.1f degrees, z %.1f mm, %.1f x %.1f mm: a new mark, or dirt that came or went.\n",
                 s.place.theta_deg, s.place.z_mm, s.circ_mm, s.axial_mm);
  for (const auto& one : c.followed)
    text += Line("%s at %.1f degrees, z %.1f mm: %s. ", one.what.c_str(), one.place.theta_deg, one.place.z_mm,
                 Words(one.fate.fate).c_str()) +
            EnglishOf(one.fate.reason) + "\n";
  for (const auto& note : c.notes) text += EnglishOf(note) + "\n";
  return text;
}

}  // namespace app::compare
