#include "app/joint/facts.h"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "vision/base/number.h"
#include "vision/bore/angle.h"

namespace app::joint {
namespace {

using Ordered = nlohmann::ordered_json;
using Kind = Fact::Kind;

std::vector<Fact> SizeFacts(const std::string& path, const std::string& group, const std::string& of) {
  return {{path + "/outside_diameter_mm", group, "Outside diameter" + of + ", mm", Kind::kNumber},
          {path + "/outside_diameter_u_mm", group, "its standard uncertainty, mm", Kind::kNumber},
          {path + "/wall_mm", group, "Wall" + of + ", mm", Kind::kNumber},
          {path + "/wall_u_mm", group, "its standard uncertainty, mm", Kind::kNumber},
          {path + "/inside_diameter_mm", group, "Inside diameter" + of + " at the root, mm", Kind::kNumber},
          {path + "/inside_diameter_u_mm", group, "its standard uncertainty, mm", Kind::kNumber},
          {path + "/source", group, "How the sizes" + of + " were found"}};
}

std::vector<Fact> JointFacts() {
  std::vector<Fact> facts{
      {"/joint/id", "joint", "Joint"},
      {"/joint/line", "joint", "Line or system"},
      {"/joint/material", "joint", "Base material"},
      {"/joint/flow", "joint", "Flow", Kind::kChoice, {"a to b", "b to a"}},
      {"/joint/camera_entered_from", "joint", "Camera went in through piece", Kind::kChoice, {"a", "b"}},
      {"/joint/criterion", "joint", "Criterion", Kind::kChoice, ShippedCriteria()},
      {"/joint/outside_cap_height_mm", "joint", "Smallest height of the cap outside, mm", Kind::kNumber},
      {"/joint/minimum_wall_mm", "joint", "Minimum wall, mm", Kind::kNumber},
      {"/joint/pipe/nps", "pipe", "Nominal pipe size"},
      {"/joint/pipe/schedule", "pipe", "Schedule"}};
  const auto add = [&](const std::vector<Fact>& more) { facts.insert(facts.end(), more.begin(), more.end()); };
  add(SizeFacts("/joint/pipe", "pipe", ""));
  for (const std::string piece : {"a", "b"}) {
    add({{"/joint/pieces/" + piece + "/name", "pieces", "Piece " + piece},
         {"/joint/pieces/" + piece + "/heat", "pieces", "its heat number"}});
    add(SizeFacts("/joint/pieces/" + piece, "pieces", " of " + piece));
  }
  add({{"/joint/insert/class", "insert", "Insert's class (AWS A5.30)", Kind::kChoice, {"1", "2", "3", "4", "5"}},
       {"/joint/insert/width_mm", "insert", "Insert's width as laid, mm", Kind::kNumber},
       {"/joint/insert/width_u_mm", "insert", "its standard uncertainty, mm", Kind::kNumber},
       {"/joint/datum/zero", "datum", "What 0 degrees is"},
       {"/joint/datum/positive_z", "datum", "What +z is"},
       {"/joint/datum/evidence", "datum", "What shows it"}});
  return facts;
}

std::vector<std::string> CameraIds(const Ordered& json) {
  std::vector<std::string> ids;
  for (const auto& camera : json.value("cameras", Ordered::array()))
    if (camera.is_object() && camera.contains("id") && camera["id"].is_string())
      ids.push_back(camera["id"].get<std::string>());
  return ids;
}

/// The picture's up: one of all frames, or one of each way the camera looked.
std::vector<Fact> UpFacts(const Ordered& recording, const std::string& path, const std::string& group) {
  std::set<std::string> ways;
  for (const auto& frame : recording.value("frames", Ordered::array()))
    if (frame.is_object() && frame.contains("looks") && frame["looks"].is_string())
      ways.insert(frame["looks"].get<std::string>());
  if (ways.size() < 2) return {{path + "/*/up_theta_deg", group, "Picture's up, degrees", Kind::kNumber}};
  std::vector<Fact> facts;
  for (const auto& [looks, words] : {std::pair{"+z", "Up of pictures from a to b, degrees"},
                                     {"-z", "Up of pictures from b to a, degrees"},
                                     {"side", "Up of pictures sideways, degrees"}})
    if (ways.contains(looks)) facts.push_back({path + "/*{" + looks + "}/up_theta_deg", group, words, Kind::kNumber});
  return facts;
}

std::vector<Fact> RecordingFacts(const Ordered& json, std::size_t index) {
  const std::string path = "/recordings/" + std::to_string(index);
  const std::string group = "recording " + json["recordings"][index].value("id", std::to_string(index + 1));
  std::vector<Fact> facts{{path + "/stage", group, "State of the weld"},
                          {path + "/operator", group, "Who held the camera"},
                          {path + "/*/camera", group, "Camera", Kind::kChoice, CameraIds(json)},
                          {path + "/*/looks", group, "Camera looked", Kind::kChoice, {"+z", "-z", "side"}}};
  const auto add = [&](const std::vector<Fact>& more) { facts.insert(facts.end(), more.begin(), more.end()); };
  add(UpFacts(json["recordings"][index], path, group));
  add({{path + "/mount/centred_u_mm", group, "Head off the axis by about, mm", Kind::kNumber},
       {path + "/mount/tilt_u_deg", group, "Head leaning by about, degrees", Kind::kNumber},
       {path + "/mount/distance_mm", group, "Camera to weld, mm", Kind::kNumber},
       {path + "/mount/distance_u_mm", group, "known to, mm", Kind::kNumber}});
  return facts;
}

/// Whether the lens still has the scale it was calibrated with: a known length, measured before and after the job.
std::vector<Fact> CameraFacts(const Ordered& json, std::size_t index) {
  const std::string path = "/cameras/" + std::to_string(index) + "/calibration";
  const std::string group = "camera " + CameraIds(json)[index];
  std::vector<Fact> facts{{path + "/date", group, "Calibrated on"},
                          {path + "/lens_serial", group, "Lens's serial number"}};
  for (const auto& [check, when] : {std::pair{"/scale_before", "Scale checked before the recording, on"},
                                    {"/scale_after", "Scale checked after the recording, on"}}) {
    facts.push_back({path + check + "/when", group, when});
    facts.push_back({path + check + "/known_mm", group, "its known length, mm", Kind::kNumber});
    facts.push_back({path + check + "/measured_mm", group, "its length as measured, mm", Kind::kNumber});
  }
  return facts;
}

/// A piece that is only a name is text in the file; in here it is always an object.
void OpenPieces(Ordered& json) {
  Ordered& pieces = json["joint"]["pieces"];
  for (const char* piece : {"a", "b"})
    if (pieces.contains(piece) && pieces[piece].is_string()) pieces[piece] = {{"name", pieces[piece]}};
}

void ClosePieces(Ordered& json) {
  Ordered& joint = json["joint"];
  if (!joint.contains("pieces") || !joint["pieces"].is_object()) return;
  for (const char* piece : {"a", "b"})
    if (auto& pieces = joint["pieces"]; pieces.contains(piece) && pieces[piece].is_object() &&
                                        pieces[piece].size() == 1 && pieces[piece].contains("name"))
      pieces[piece] = Ordered(pieces[piece]["name"]);
  if (joint["pieces"].empty()) joint.erase("pieces");
}

/// The pointers that a path stands for: more than one where it speaks of all frames.
std::vector<std::string> PlacesOf(const Ordered& json, const std::string& path) {
  const auto star = path.find("/*");
  if (star == std::string::npos) return {path};
  const std::string recording = path.substr(0, star), looks = LooksOf(path);
  const std::string rest = path.substr(star + 2 + (looks.empty() ? 0 : looks.size() + 2));
  const Ordered& here = json.at(Ordered::json_pointer(recording));
  if (!here.contains("frames")) return {recording + rest};
  std::vector<std::string> places;
  for (std::size_t i = 0; i < here["frames"].size(); ++i)
    if (looks.empty() || here["frames"][i].value("looks", "") == looks)
      places.push_back(recording + "/frames/" + std::to_string(i) + rest);
  return places;
}

std::string TextAt(const Ordered& json, const std::string& place) {
  const Ordered::json_pointer pointer(place);
  if (!json.contains(pointer)) return {};
  const Ordered& value = json.at(pointer);
  if (value.is_string()) return value.get<std::string>();
  return value.is_null() ? std::string() : value.dump();
}

void ReadValue(const Ordered& json, Fact& fact) {
  const auto places = PlacesOf(json, fact.path);
  for (std::size_t i = 0; i < places.size(); ++i) {
    const std::string text = TextAt(json, places[i]);
    if (i > 0 && text != fact.value) {
      fact.value = kDiffers;
      return;
    }
    fact.value = text;
  }
}

/// Takes a key away, and the objects that it leaves empty.
void Erase(Ordered& json, const std::string& place) {
  const Ordered::json_pointer pointer(place);
  if (!json.contains(pointer)) return;
  json.at(pointer.parent_pointer()).erase(pointer.back());
  if (json.at(pointer.parent_pointer()).empty() && !pointer.parent_pointer().empty())
    Erase(json, pointer.parent_pointer().to_string());
}

vision::Status Write(Ordered& json, const Fact& fact) {
  if (fact.value == kDiffers) return std::nullopt;
  for (const std::string& place : PlacesOf(json, fact.path)) {
    if (TextAt(json, place) == fact.value) continue;
    if (fact.value.empty()) {
      Erase(json, place);
    } else if (fact.kind == Kind::kNumber) {
      const auto number = vision::NumberFrom(fact.value, fact.words);
      if (!number.ok()) return number.error();
      json[Ordered::json_pointer(place)] = number.value();
    } else {
      json[Ordered::json_pointer(place)] = fact.value;
    }
  }
  return std::nullopt;
}

vision::Result<Ordered> Parsed(const std::string& text, const std::string& name) {
  Ordered json = Ordered::parse(text, nullptr, false);
  if (!json.is_object() || !json.contains("joint") || !json["joint"].is_object() || !json.contains("recordings") ||
      !json["recordings"].is_array())
    return vision::BadInput(name + " is not a joint file with cameras and recordings.");
  OpenPieces(json);
  return json;
}

/// Does the program search for any kind of the rule's? These are what a reading's `searched` names (vision/reading).
bool LookedFor(const Rule& rule) {
  static const std::set<std::string> kSearched{"pore", "undercut", "scale", "burn_through"};
  return std::any_of(rule.kinds.begin(), rule.kinds.end(), [](const auto& kind) { return kSearched.contains(kind); });
}

}  // namespace

std::string LooksOf(const std::string& path) {
  const auto from = path.find("/*{"), to = path.find('}');
  return from == std::string::npos || to == std::string::npos ? "" : path.substr(from + 3, to - from - 3);
}

vision::Result<std::vector<Fact>> FactsOf(const std::string& text, const std::string& name) {
  const auto json = Parsed(text, name);
  if (!json.ok()) return json.error();
  std::vector<Fact> facts = JointFacts();
  for (std::size_t i = 0; i < json.value()["recordings"].size(); ++i)
    for (Fact& fact : RecordingFacts(json.value(), i)) facts.push_back(std::move(fact));
  if (CameraIds(json.value()).size() == json.value().value("cameras", Ordered::array()).size())
    for (std::size_t i = 0; i < CameraIds(json.value()).size(); ++i)
      for (Fact& fact : CameraFacts(json.value(), i)) facts.push_back(std::move(fact));
  for (Fact& fact : facts) ReadValue(json.value(), fact);
  return facts;
}

vision::Result<std::string> WithFacts(const std::string& text, const std::vector<Fact>& facts,
                                      const std::string& name) {
  auto json = Parsed(text, name);
  if (!json.ok()) return json.error();
  for (const Fact& fact : facts)
    if (auto wrong = Write(json.value(), fact)) return *wrong;
  ClosePieces(json.value());
  return json.value().dump(2, ' ', false, Ordered::error_handler_t::replace) + "\n";
}

std::string CoverOf(const CriteriaSet& set) {
  constexpr const char* kByPerson = "Not looked for, judged where a person marks it: ";
  const char* ways[] = {"Judges: ", kByPerson, "Shown, not evaluated: ", "Not measured by this program: "};
  const auto way_of = [&](const Rule& rule) {
    if (rule.judged == Judged::kAnnotated) return ways[2];
    if (rule.judged == Judged::kNotMeasured) return ways[3];
    return rule.measures == Measures::kIndication && !LookedFor(rule) ? kByPerson : ways[0];
  };
  std::string text = set.standard + (set.edition.empty() ? "" : ", " + set.edition);
  for (const char* way : ways) {
    std::string titles;
    for (const Rule& rule : set.rules)
      if (way_of(rule) == way) titles += (titles.empty() ? "" : "; ") + rule.title;
    if (!titles.empty()) text += "\n" + (way + titles) + ".";
  }
  return text;
}

std::optional<double> UpFromDatum(double u, double v, double cu, double cv, const std::string& looks, bool mirrored) {
  const double across = mirrored ? cu - u : u - cu, up = cv - v;
  if ((looks != "+z" && looks != "-z") || std::hypot(across, up) < 1) return std::nullopt;
  // Clockwise in the picture from its up to the datum. Theta grows clockwise looking along +z, so that angle is
  // 0 - up_theta there, and up_theta - 0 for a camera that looks back.
  const double turned = std::atan2(across, up) * vision::bore::kDegPerRad;
  return vision::bore::Wrap360(looks == "+z" ? -turned : turned);
}

}  // namespace app::joint
