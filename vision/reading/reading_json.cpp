#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "vision/base/text.h"
#include "vision/reading/reading.h"
#include "vision/reading/reading_fields.h"
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
  void operator()(const char* key, Maybe<const std::vector<double>> values) const {
    const auto& v = values.value;
    if (std::any_of(v.begin(), v.end(), [](double x) { return std::isfinite(x); })) out[key] = Numbers(v);
  }
  void operator()(const char* key, const Sentence& sentence) const { out[key] = EnglishOf(sentence); }
  void operator()(const char* key, const std::vector<Sentence>& sentences) const {
    Json array = Json::array();
    for (const Sentence& sentence : sentences) array.push_back(EnglishOf(sentence));
    out[key] = array;
  }
  void operator()(const char* key, Maybe<const Sentence> value) const {
    if (!value.value.empty()) out[key] = EnglishOf(value.value);
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
  void operator()(const char* key, Maybe<std::vector<double>> values) const {
    if (in.contains(key)) (*this)(key, values.value);
  }
  void operator()(const char* key, Sentence& sentence) const { sentence = SentenceFrom(in.at(key).get<std::string>()); }
  void operator()(const char* key, std::vector<Sentence>& sentences) const {
    for (const auto& item : in.at(key)) sentences.push_back(SentenceFrom(item.get<std::string>()));
  }
  void operator()(const char* key, Maybe<Sentence> value) const {
    if (in.contains(key)) (*this)(key, value.value);
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
  if (json.contains("sections")) ReadEach(json.at("sections"), reading.sections, kSections);
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
  if (!reading.sections.empty()) json["sections"] = WriteEach(reading.sections, kSections);
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

/// The first array that is not as long as theta_deg; "" = none.
std::string UnevenOf(const Profile& profile) {
  std::string uneven;
  const auto look = [&](const char* key, std::size_t size) {
    if (uneven.empty() && size != profile.theta_deg.size()) uneven = key;
  };
  VisitProfile(
      [&](const char* key, const auto& values) {
        if constexpr (requires { values.value; })
          look(key, values.value.size());
        else
          look(key, values.size());
      },
      profile);
  return uneven;
}
}  // namespace

Result<Reading> FromJson(const std::string& text, const std::string& name) {
  if (auto broken = CheckAgainstSchema(text, name)) return *broken;
  try {
    Reading reading = Decode(Json::parse(text));
    const auto lines = reading.profile.theta_deg.size();
    for (auto* chance : {&reading.profile.unfused_left_chance, &reading.profile.unfused_right_chance})
      if (chance->empty()) chance->assign(lines, kNotMeasured);  // of a reading from before they were kept
    const std::string uneven = UnevenOf(reading.profile);
    if (const auto far = FileElsewhere(reading); !far.empty())
      return BadInput(name + " names the picture " + Printable(far) +
                      "; a picture lies beside it and has a plain name.");
    if (!uneven.empty())
      return BadInput(name + ": profile." + uneven +
                      " differs in length from profile.theta_deg; it must hold one value a half-degree line.");
    return reading;
  } catch (const nlohmann::json::exception&) {
    return BadInput(name + " is not a rootscroll.reading/1 file: a value is missing or of the wrong kind.");
  }
}

}  // namespace vision::reading
