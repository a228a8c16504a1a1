#include <cmath>
#include <nlohmann/json.hpp>
#include <set>

#include "app/notes/notes.h"

namespace app::notes {
namespace {

using Json = nlohmann::ordered_json;

/// Raised while reading; becomes the one sentence.
struct Wrong {
  std::string what;
};

Json PointsJson(const std::vector<Place>& points) {
  Json array = Json::array();
  for (const Place& place : points) array.push_back({{"theta_deg", place.theta_deg}, {"z_mm", place.z_mm}});
  return array;
}

Json SignedJson(Json json, const Signed& by) {
  json["author"] = by.author;
  json["time"] = by.time;
  return json;
}

const Json& Need(const Json& json, const char* key, const std::string& where) {
  if (!json.is_object() || !json.contains(key)) throw Wrong{where + " needs the key \"" + key + "\""};
  return json.at(key);
}

std::string TextAt(const Json& json, const char* key, const std::string& where) {
  const Json& value = Need(json, key, where);
  if (!value.is_string()) throw Wrong{where + "/" + key + " must be a text"};
  return value.get<std::string>();
}

double NumberAt(const Json& json, const char* key, const std::string& where) {
  const Json& value = Need(json, key, where);
  if (!value.is_number() || !std::isfinite(value.get<double>())) throw Wrong{where + "/" + key + " must be a number"};
  return value.get<double>();
}

const Json& ArrayAt(const Json& json, const char* key, const std::string& where) {
  const Json& value = Need(json, key, where);
  if (!value.is_array()) throw Wrong{where + "/" + key + " must be a list"};
  return value;
}

std::vector<Place> PointsOf(const Json& list, const std::string& where) {
  if (!list.is_array()) throw Wrong{where + " must be a list"};
  std::vector<Place> points;
  for (const Json& point : list)
    points.push_back({NumberAt(point, "theta_deg", where), NumberAt(point, "z_mm", where)});
  return points;
}

std::vector<Place> PointsAt(const Json& json, const std::string& where) {
  return PointsOf(ArrayAt(json, "points", where), where + "/points");
}

Signed SignedAt(const Json& json, const std::string& where) {
  return {TextAt(json, "author", where), TextAt(json, "time", where)};
}

template <class Enum>
Enum NamedAt(const Json& json, const char* key, const std::string& where, std::initializer_list<Enum> all) {
  const std::string name = TextAt(json, key, where);
  std::string names;
  for (Enum one : all) {
    if (NameOf(one) == name) return one;
    names += (names.empty() ? "" : ", ") + NameOf(one);
  }
  throw Wrong{where + "/" + key + " is \"" + name + "\"; it must be one of " + names};
}

Note NoteFrom(const Json& json, const std::string& where) {
  Note note;
  note.id = static_cast<int>(NumberAt(json, "id", where));
  note.shape = NamedAt(json, "shape", where, {Shape::kPoint, Shape::kLine, Shape::kBox, Shape::kOutline, Shape::kText});
  note.kind = TextAt(json, "kind", where);
  note.points = PointsAt(json, where);
  note.text = TextAt(json, "text", where);
  note.status = NamedAt(json, "status", where, {Status::kOpen, Status::kAccepted, Status::kRejected});
  note.reason = TextAt(json, "reason", where);
  note.by = SignedAt(json, where);
  if (const auto wrong = Check(note)) throw Wrong{where + ": " + wrong->message};
  return note;
}

HandToe ToeFrom(const Json& json, const std::string& where) {
  HandToe toe{TextAt(json, "side", where), PointsAt(json, where), SignedAt(json, where)};
  if (json.contains("reason")) toe.reason = TextAt(json, "reason", where);  // files before it had none
  if (json.contains("again"))
    for (const Json& one : ArrayAt(json, "again", where)) toe.again.push_back(PointsOf(one, where + "/again"));
  if (const auto wrong = Check(toe, false)) throw Wrong{where + ": " + wrong->message};
  return toe;
}

Ruling RulingFrom(const Json& json, const std::string& where) {
  const Json& overruled = Need(json, "overruled", where);
  if (!overruled.is_boolean()) throw Wrong{where + "/overruled must be true or false"};
  return {TextAt(json, "about", where), overruled.get<bool>(), TextAt(json, "reason", where), SignedAt(json, where)};
}

Notes Decode(const Json& json) {
  if (TextAt(json, "format", "") != "rootscroll.notes/1") throw Wrong{"format must be \"rootscroll.notes/1\""};
  Notes notes;
  notes.joint_id = TextAt(json, "joint_id", "");
  std::set<int> ids;
  for (const Json& one : ArrayAt(json, "notes", "")) {
    notes.notes.push_back(NoteFrom(one, "/notes/" + std::to_string(notes.notes.size())));
    if (!ids.insert(notes.notes.back().id).second)
      throw Wrong{"/notes: the id " + std::to_string(notes.notes.back().id) + " stands twice; each must be its own"};
  }
  for (const Json& one : ArrayAt(json, "rulings", ""))
    notes.rulings.push_back(RulingFrom(one, "/rulings/" + std::to_string(notes.rulings.size())));
  for (const Json& one : ArrayAt(json, "toes", ""))
    notes.toes.push_back(ToeFrom(one, "/toes/" + std::to_string(notes.toes.size())));
  return notes;
}

}  // namespace

std::string NameOf(Shape shape) {
  switch (shape) {
    case Shape::kPoint:
      return "point";
    case Shape::kLine:
      return "line";
    case Shape::kBox:
      return "box";
    case Shape::kOutline:
      return "outline";
    case Shape::kText:
      return "text";
  }
  return "";
}

std::string NameOf(Status status) {
  return status == Status::kOpen ? "open" : status == Status::kAccepted ? "accepted" : "rejected";
}

std::string ToJson(const Notes& notes) {
  Json json{{"format", "rootscroll.notes/1"}, {"joint_id", notes.joint_id}};
  json["notes"] = json["rulings"] = json["toes"] = Json::array();
  for (const Note& note : notes.notes)
    json["notes"].push_back(SignedJson({{"id", note.id},
                                        {"shape", NameOf(note.shape)},
                                        {"kind", note.kind},
                                        {"points", PointsJson(note.points)},
                                        {"text", note.text},
                                        {"status", NameOf(note.status)},
                                        {"reason", note.reason}},
                                       note.by));
  for (const Ruling& ruling : notes.rulings)
    json["rulings"].push_back(
        SignedJson({{"about", ruling.about}, {"overruled", ruling.overruled}, {"reason", ruling.reason}}, ruling.by));
  for (const HandToe& toe : notes.toes) {
    Json again = Json::array();
    for (const auto& points : toe.again) again.push_back(PointsJson(points));
    json["toes"].push_back(SignedJson(
        {{"side", toe.side}, {"points", PointsJson(toe.points)}, {"reason", toe.reason}, {"again", again}}, toe.by));
  }
  return json.dump(1) + "\n";
}

vision::Result<Notes> FromJson(const std::string& text, const std::string& name) {
  try {
    return Decode(Json::parse(text));
  } catch (const Wrong& wrong) {
    return vision::BadInput(name + ": " + wrong.what + ".");
  } catch (const nlohmann::json::exception&) {
    return vision::BadInput(name + " is not a rootscroll.notes/1 file: a value is missing or of the wrong kind.");
  }
}

}  // namespace app::notes
