#include <cmath>
#include <nlohmann/json.hpp>

#include "vision/base/text.h"
#include "vision/reading/reading.h"
#include "vision/reading/schema.h"

namespace vision::reading {
namespace {

using nlohmann::ordered_json;
using Json = ordered_json;

/// 0.1 micrometre and 0.0001 degree are below anything measured here and keep the file readable.
Json Number(double value) { return std::isfinite(value) ? Json(std::round(value * 1e4) / 1e4) : Json(nullptr); }
double NumberFrom(const Json& json) { return json.is_null() ? kNotMeasured : json.get<double>(); }

Json Numbers(const std::vector<double>& values) {
  Json array = Json::array();
  for (double value : values) array.push_back(Number(value));
  return array;
}

/// A text or number whose key may be absent, which is the same as empty or not measured.
template <class Value>
struct Maybe {
  Value& value;
};
template <class Value>
Maybe(Value&) -> Maybe<Value>;

/// One member table serves writing and reading, so that the two cannot drift apart.
template <class Visit>
void VisitProfile(Visit visit, auto& p) {
  visit("theta_deg", p.theta_deg);
  visit("left_toe_z_mm", p.left_toe_z_mm);
  visit("right_toe_z_mm", p.right_toe_z_mm);
  visit("left_toe_u_mm", p.left_toe_u_mm);
  visit("right_toe_u_mm", p.right_toe_u_mm);
  visit("width_mm", p.width_mm);
  visit("width_u_mm", p.width_u_mm);
  visit("crown_height_mm", p.crown_height_mm);
  visit("crown_height_u_mm", p.crown_height_u_mm);
  visit("crown_over_left_mm", p.crown_over_left_mm);
  visit("crown_over_right_mm", p.crown_over_right_mm);
  visit("concavity_mm", p.concavity_mm);
  visit("concavity_u_mm", p.concavity_u_mm);
  visit("concavity_under_left_mm", p.concavity_under_left_mm);
  visit("concavity_under_right_mm", p.concavity_under_right_mm);
  visit("misalignment_mm", p.misalignment_mm);
  visit("misalignment_u_mm", p.misalignment_u_mm);
  visit("fusion_left", p.fusion_left);
  visit("fusion_right", p.fusion_right);
}

template <class Visit>
void VisitPose(Visit visit, auto& p) {
  visit("file", p.file);
  visit("offset_x_mm", p.offset_x_mm);
  visit("offset_y_mm", p.offset_y_mm);
  visit("offset_u_mm", p.offset_u_mm);
  visit("distance_to_weld_mm", p.distance_to_weld_mm);
  visit("distance_u_mm", p.distance_u_mm);
  visit("tilt_deg", p.tilt_deg);
  visit("tilt_u_deg", p.tilt_u_deg);
  visit("axis_azimuth_deg", Maybe{p.axis_azimuth_deg});
  visit("residual_px", p.residual_px);
  visit("looks", p.looks);
  visit("how", p.how);
  visit("source_map", Maybe{p.source_map});
}

template <class Visit>
void VisitIndication(Visit visit, auto& i) {
  visit("kind", i.kind);
  visit("iso6520", i.iso6520);
  visit("theta_deg", i.theta_deg);
  visit("z_mm", i.z_mm);
  visit("length_mm", i.length_mm);
  visit("width_mm", i.width_mm);
  visit("depth_mm", i.depth_mm);
  visit("length_u_mm", i.length_u_mm);
  visit("width_u_mm", i.width_u_mm);
  visit("depth_u_mm", i.depth_u_mm);
  visit("confidence", i.confidence);
  visit("picture", i.picture);
}

template <class Visit>
void VisitSearchedArc(Visit visit, auto& a) {
  visit("start_deg", a.start_deg);
  visit("end_deg", a.end_deg);
  visit("smallest_mm", a.smallest_mm);
}

template <class Visit>
void VisitSearched(Visit visit, auto& s) {
  visit("kind", s.kind);
  visit("side", s.side);
  visit("size", s.size);
  visit("degrees", s.degrees);
  visit("smallest_mm", s.smallest_mm);
  visit("why", s.why);
}

template <class Visit>
void VisitRun(Visit visit, auto& u) {
  visit("start_deg", u.start_deg);
  visit("end_deg", u.end_deg);
  visit("side", u.side);
  visit("confidence", u.confidence);
  visit("arc_mm", u.arc_mm);
  visit("arc_u_mm", u.arc_u_mm);
  visit("picture", u.picture);
}

template <class Visit>
void VisitStrip(Visit visit, auto& s) {
  visit("file", s.file);
  visit("mask_file", s.mask_file);
  visit("columns", s.columns);
  visit("rows", s.rows);
  visit("theta_pitch_deg", s.theta_pitch_deg);
  visit("pitch_mm", s.pitch_mm);
  visit("z_from_mm", s.z_from_mm);
  visit("resolution_mm", s.resolution_mm);
  visit("smallest_line_mm", Maybe{s.smallest_line_mm});
  visit("eye_only", Maybe{s.eye_only});
  visit("origin_file", Maybe{s.origin_file});
}

template <class Visit>
void VisitRelief(Visit visit, auto& r) {
  visit("file", r.file);
  visit("u_file", r.u_file);
  visit("how", r.how);
  visit("columns", r.columns);
  visit("rows", r.rows);
  visit("theta_pitch_deg", r.theta_pitch_deg);
  visit("pitch_mm", r.pitch_mm);
  visit("z_from_mm", r.z_from_mm);
  visit("shared_u_mm", r.shared_u_mm);
}

template <class Visit>
void VisitHead(Visit visit, auto& r) {
  visit("program_version", r.program_version);
  visit("joint_id", r.joint_id);
  visit("recordings", r.recordings);
  visit("stage", r.stage);
  visit("bore_radius_mm", r.bore_radius_mm);
  visit("bore_radius_u_mm", r.bore_radius_u_mm);
  visit("weld_found", r.weld_found);
  visit("read_by", Maybe{r.read_by});
  visit("angles", r.angles);
  visit("calibrated", r.calibrated);
  visit("calibration_note", r.calibration_note);
  visit("z_zero", r.z_zero);
  visit("piece_a", r.piece_a);
  visit("piece_b", r.piece_b);
  visit("insert_width_mm", r.insert_width_mm);
  visit("notes", r.notes);
}

struct Writer {
  Json& out;
  void operator()(const char* key, double value) const { out[key] = Number(value); }
  void operator()(const char* key, const std::vector<double>& values) const { out[key] = Numbers(values); }
  void operator()(const char* key, const std::vector<Fusion>& states) const {
    Json array = Json::array();
    for (Fusion state : states) array.push_back(NameOf(state));
    out[key] = array;
  }
  void operator()(const char* key, Maybe<const std::string> value) const {
    if (!value.value.empty()) out[key] = value.value;
  }
  void operator()(const char* key, Maybe<const double> value) const {
    if (std::isfinite(value.value)) out[key] = Number(value.value);
  }
  template <class T>
  void operator()(const char* key, const T& value) const {
    out[key] = value;
  }
};

struct Reader {
  const Json& in;
  void operator()(const char* key, double& value) const { value = NumberFrom(in.at(key)); }
  void operator()(const char* key, std::vector<double>& values) const {
    values.clear();
    for (const auto& item : in.at(key)) values.push_back(NumberFrom(item));
  }
  void operator()(const char* key, std::vector<Fusion>& states) const {
    states.clear();
    for (const auto& item : in.at(key)) {
      const auto name = item.get<std::string>();
      states.push_back(name == "fused" ? Fusion::kFused : name == "unfused" ? Fusion::kUnfused : Fusion::kNotVisible);
    }
  }
  void operator()(const char* key, Maybe<std::string> value) const {
    if (in.contains(key)) in.at(key).get_to(value.value);
  }
  void operator()(const char* key, Maybe<double> value) const {
    value.value = in.contains(key) ? NumberFrom(in.at(key)) : kNotMeasured;
  }
  template <class T>
  void operator()(const char* key, T& value) const {
    in.at(key).get_to(value);
  }
};

template <class Item, class Visit>
Json WriteEach(const std::vector<Item>& items, Visit visit) {
  Json array = Json::array();
  for (const Item& item : items) {
    Json json = Json::object();
    visit(Writer{json}, item);
    array.push_back(json);
  }
  return array;
}

template <class Item, class Visit>
void ReadEach(const Json& array, std::vector<Item>& items, Visit visit) {
  for (const auto& json : array) visit(Reader{json}, items.emplace_back());
}

template <class Visit>
void VisitWhy(Visit visit, auto& w) {
  visit("what", w.what);
  visit("start_deg", w.start_deg);
  visit("end_deg", w.end_deg);
  visit("reason", w.reason);
}

template <class Visit>
void VisitFlag(Visit visit, auto& f) {
  visit("kind", f.kind);
  visit("start_deg", f.start_deg);
  visit("end_deg", f.end_deg);
  visit("text", f.text);
}

template <class Visit>
void VisitTintRun(Visit visit, auto& t) {
  visit("start_deg", t.start_deg);
  visit("end_deg", t.end_deg);
  visit("side", t.side);
  visit("shade", t.shade);
  visit("reach_mm", t.reach_mm);
  visit("reach_u_mm", t.reach_u_mm);
}

template <class Visit>
void VisitTint(Visit visit, auto& t) {
  visit("against", t.against);
  visit("left_deg", t.left_deg);
  visit("right_deg", t.right_deg);
}

template <class Visit>
void VisitCoverage(Visit visit, auto& c) {
  visit("left", c.left);
  visit("right", c.right);
  visit("zone", c.zone);
}

template <class Visit>
void VisitRing(Visit visit, auto& ring) {
  visit("z_mm", ring.z_mm);
  visit("u_mm", ring.u_mm);
  visit("seen_deg", ring.seen_deg);
}

constexpr auto kRings = [](auto visit, auto& item) { VisitRing(visit, item); };
constexpr auto kPoses = [](auto visit, auto& item) { VisitPose(visit, item); };
constexpr auto kWhys = [](auto visit, auto& item) { VisitWhy(visit, item); };
constexpr auto kRuns = [](auto visit, auto& item) { VisitRun(visit, item); };
constexpr auto kIndications = [](auto visit, auto& item) { VisitIndication(visit, item); };
constexpr auto kSearchedArcs = [](auto visit, auto& item) { VisitSearchedArc(visit, item); };
constexpr auto kFlags = [](auto visit, auto& item) { VisitFlag(visit, item); };
constexpr auto kTintRuns = [](auto visit, auto& item) { VisitTintRun(visit, item); };

Json WriteTint(const Tint& tint) {
  Json json = Json::object();
  VisitTint(Writer{json}, tint);
  json["runs"] = WriteEach(tint.runs, kTintRuns);
  return json;
}

Tint ReadTint(const Json& json) {
  Tint tint;
  VisitTint(Reader{json}, tint);
  ReadEach(json.at("runs"), tint.runs, kTintRuns);
  return tint;
}

Json WriteSearched(const std::vector<Searched>& searched) {
  Json array = Json::array();
  for (const Searched& item : searched) {
    Json json = Json::object();
    VisitSearched(Writer{json}, item);
    json["arcs"] = WriteEach(item.arcs, kSearchedArcs);
    array.push_back(json);
  }
  return array;
}

void ReadSearched(const Json& array, std::vector<Searched>& searched) {
  for (const auto& json : array) {
    Searched& item = searched.emplace_back();
    VisitSearched(Reader{json}, item);
    ReadEach(json.at("arcs"), item.arcs, kSearchedArcs);
  }
}

Reading Decode(const Json& json) {
  Reading reading;
  VisitHead(Reader{json}, reading);
  ReadEach(json.at("poses"), reading.poses, kPoses);
  VisitProfile(Reader{json.at("profile")}, reading.profile);
  if (!json.at("height_by").is_null()) reading.height_by = json.at("height_by").get<std::string>();
  ReadEach(json.at("why"), reading.why, kWhys);
  ReadEach(json.at("unfused"), reading.unfused, kRuns);
  ReadEach(json.at("indications"), reading.indications, kIndications);
  if (json.contains("searched")) ReadSearched(json.at("searched"), reading.searched);
  ReadEach(json.at("flags"), reading.flags, kFlags);
  if (json.contains("rings")) ReadEach(json.at("rings"), reading.rings, kRings);
  if (json.contains("tint")) reading.tint = ReadTint(json.at("tint"));
  VisitCoverage(Reader{json.at("coverage_deg")}, reading.coverage_deg);
  VisitStrip(Reader{json.at("strip")}, reading.strip);
  if (json.contains("relief")) VisitRelief(Reader{json.at("relief")}, reading.relief.emplace());
  return reading;
}

}  // namespace

std::string ToJson(const Reading& reading) {
  Json json = Json::object();
  json["format"] = "rootscroll.reading/1";
  VisitHead(Writer{json}, reading);
  json["poses"] = WriteEach(reading.poses, kPoses);
  Json profile = Json::object();
  VisitProfile(Writer{profile}, reading.profile);
  json["profile"] = profile;
  json["height_by"] = reading.height_by ? Json(*reading.height_by) : Json(nullptr);
  json["why"] = WriteEach(reading.why, kWhys);
  json["unfused"] = WriteEach(reading.unfused, kRuns);
  json["indications"] = WriteEach(reading.indications, kIndications);
  json["searched"] = WriteSearched(reading.searched);
  json["flags"] = WriteEach(reading.flags, kFlags);
  if (!reading.rings.empty()) json["rings"] = WriteEach(reading.rings, kRings);
  if (reading.tint) json["tint"] = WriteTint(*reading.tint);
  Json coverage = Json::object(), strip = Json::object();
  VisitCoverage(Writer{coverage}, reading.coverage_deg);
  json["coverage_deg"] = coverage;
  VisitStrip(Writer{strip}, reading.strip);
  json["strip"] = strip;
  if (reading.relief) {
    Json relief = Json::object();
    VisitRelief(Writer{relief}, *reading.relief);
    json["relief"] = relief;
  }
  return json.dump(1) + "\n";
}

namespace {
/// The first picture of the reading that would not lie beside it; "" when all do.
std::string FileElsewhere(const Reading& reading) {
  std::vector<std::string> files{reading.strip.file, reading.strip.mask_file};
  if (reading.relief) files.insert(files.end(), {reading.relief->file, reading.relief->u_file});
  for (const auto& seen : reading.indications) files.push_back(seen.picture);
  for (const auto& run : reading.unfused) files.push_back(run.picture);
  for (const auto& file : files)
    if (file.find_first_of("/\\") != std::string::npos || file == "..") return file;
  return "";
}
}  // namespace

Result<Reading> FromJson(const std::string& text, const std::string& name) {
  if (auto broken = CheckAgainstSchema(text, name)) return *broken;
  try {
    Reading reading = Decode(Json::parse(text));
    const auto lines = reading.profile.theta_deg.size();
    std::string uneven;
    VisitProfile(
        [&](const char* key, const auto& values) {
          if (uneven.empty() && values.size() != lines) uneven = key;
        },
        reading.profile);
    if (const auto far = FileElsewhere(reading); !far.empty())
      return BadInput(name + " names the picture " + Printable(far) +
                      "; a picture lies beside it and has a plain name.");
    if (!uneven.empty())
      return BadInput(name + ": profile." + uneven +
                      " differs in length from profile.theta_deg; it must hold one value a station line.");
    return reading;
  } catch (const nlohmann::json::exception&) {
    return BadInput(name + " is not a rootscroll.reading/1 file: a value is missing or of the wrong kind.");
  }
}

}  // namespace vision::reading
