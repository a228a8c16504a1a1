#include "app/joint/criteria.h"

#include <algorithm>
#include <cctype>
#include <set>

#include "app/joint/embedded.h"
#include "app/joint/json_check.h"
#include "vision/base/file.h"

namespace app::joint {
namespace {
namespace fs = std::filesystem;

Term ReadTerm(const Json& json) {
  return {Number(json, "mm").value_or(0), Number(json, "t").value_or(0), Number(json, "b").value_or(0),
          Number(json, "s").value_or(0), Number(json, "cap").value_or(0)};
}

std::vector<Term> ReadTerms(const Json& json, const char* key) {
  std::vector<Term> terms;
  if (json.contains(key))
    for (const Json& term : json.at(key)) terms.push_back(ReadTerm(term));
  return terms;
}

std::optional<Range> ReadRange(const Json& json, const char* key) {
  if (!json.contains(key)) return std::nullopt;
  const Json& range = json.at(key);
  return Range{Number(range, "over"), Number(range, "from"), Number(range, "to"), Number(range, "below")};
}

LimitRow ReadRow(const Json& json) {
  LimitRow row;
  if (json.contains("when")) {
    const Json& when = json.at("when");
    row.t_mm = ReadRange(when, "t_mm");
    row.outside_diameter_mm = ReadRange(when, "outside_diameter_mm");
    if (when.contains("material_contains"))
      row.material_contains = when.at("material_contains").get<std::vector<std::string>>();
  }
  row.not_permitted = json.contains("not_permitted");
  row.does_not_apply = json.contains("does_not_apply");
  row.least = ReadTerms(json, "least");
  row.disputed_least = ReadTerms(json, "disputed_least");
  if (json.contains("allowance")) {
    const Json& a = json.at("allowance");
    row.allowance =
        Allowance{ReadTerms(a, "over_least"), Number(a, "window_mm"), Number(a, "total_mm"), Number(a, "share")};
  }
  return row;
}

Measures MeasuresFrom(const std::string& name) {
  if (name == "concavity") return Measures::kConcavity;
  if (name == "convexity") return Measures::kConvexity;
  if (name == "misalignment") return Measures::kMisalignment;
  if (name == "width") return Measures::kWidth;
  if (name == "insert fusion") return Measures::kInsertFusion;
  if (name == "indication") return Measures::kIndication;
  return Measures::kNothing;
}

HeightDatum DatumFrom(const std::string& name) {
  if (name == "chord") return HeightDatum::kChord;
  if (name == "each side greater") return HeightDatum::kEachSideGreater;
  return name == "each side lesser" ? HeightDatum::kEachSideLesser : HeightDatum::kNone;
}

std::optional<SizeOf> SizeFrom(const Json& json) {
  const auto name = Text(json, "size");
  if (!name) return std::nullopt;
  if (*name == "depth") return SizeOf::kDepth;
  return *name == "diameter" ? SizeOf::kDiameter : SizeOf::kLength;
}

Judged JudgedFrom(const std::string& name) {
  if (name == "yes") return Judged::kYes;
  return name == "annotated" ? Judged::kAnnotated : Judged::kNotMeasured;
}

Rule ReadRule(const Json& json) {
  Rule rule;
  rule.id = json.at("id").get<std::string>();
  rule.title = json.at("title").get<std::string>();
  rule.iso6520 = Text(json, "iso6520").value_or("");
  rule.paragraph = json.at("paragraph").get<std::string>();
  rule.how_known = Text(json, "how_known").value_or("");
  rule.datum = DatumFrom(json.at("datum").get<std::string>());
  rule.measures = MeasuresFrom(json.at("measures").get<std::string>());
  rule.judged = JudgedFrom(json.at("judged").get<std::string>());
  rule.reason = Text(json, "reason").value_or("");
  if (json.contains("kinds")) rule.kinds = json.at("kinds").get<std::vector<std::string>>();
  rule.size = SizeFrom(json);
  if (json.contains("sum")) {
    const Json& sum = json.at("sum");
    rule.sum = SumRule{sum.at("window_mm").get<double>(), sum.at("total_mm").get<double>(),
                       Number(sum, "ignore_to_mm").value_or(0)};
  }
  if (json.contains("limits"))
    for (const Json& row : json.at("limits")) rule.limits.push_back(ReadRow(row));
  return rule;
}

/// What the schema cannot say: a limit is one of three things, and a rule has what its measurement needs.
std::optional<std::string> Broken(const Rule& rule) {
  if (rule.judged != Judged::kYes)
    return rule.reason.empty() ? std::optional<std::string>("has no reason; say why it is not judged") : std::nullopt;
  if (rule.measures == Measures::kNothing) return "measures nothing; set judged to \"annotated\" or \"not measured\"";
  if (rule.limits.empty()) return "has no limits; give at least one row";
  const bool height = rule.measures == Measures::kConcavity || rule.measures == Measures::kConvexity;
  if (height && rule.datum == HeightDatum::kNone)
    return "has no datum; it must be \"chord\", \"each side lesser\" or \"each side greater\"";
  if (rule.measures == Measures::kIndication && rule.kinds.empty()) return "has no kinds; name the kinds of indication";
  for (const LimitRow& row : rule.limits) {
    const int given = (row.not_permitted ? 1 : 0) + (row.does_not_apply ? 1 : 0) + (row.least.empty() ? 0 : 1);
    if (given != 1) return "has a limit row that must give exactly one of least, not_permitted, does_not_apply";
    if (rule.measures == Measures::kInsertFusion && !row.least.empty())
      return "limits insert fusion by a length; fusion is either not_permitted to be missing or does_not_apply";
    if (rule.measures == Measures::kIndication && !row.least.empty() && !rule.size)
      return "has no size; it must be \"depth\", \"diameter\" or \"length\"";
    if (row.allowance && !row.allowance->total_mm && !row.allowance->share)
      return "has an allowance without total_mm or share; give how much is allowed";
    if (row.allowance && row.allowance->window_mm && !row.allowance->total_mm)
      return "has an allowance with window_mm but without total_mm; give how much is allowed in the window";
  }
  return std::nullopt;
}

std::string Lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

bool IsCriteria(const EmbeddedFile& file) { return file.name.rfind("criteria/", 0) == 0; }

}  // namespace

vision::Result<CriteriaSet> ReadCriteria(const std::string& text, const std::string& name) {
  const auto json = ParseJson(text, name);
  if (!json.ok()) return json.error();
  if (auto wrong = CheckSchema(json.value(), "criteria.schema.json", name)) return *wrong;
  CriteriaSet set{json.value().at("name").get<std::string>(),
                  json.value().at("standard").get<std::string>(),
                  json.value().at("edition").get<std::string>(),
                  Text(json.value(), "note").value_or(""),
                  {}};
  std::set<std::string> ids = {"coverage"};
  for (const Json& rule : json.value().at("rules")) {
    const std::string place = name + ": /rules/" + std::to_string(set.rules.size());
    set.rules.push_back(ReadRule(rule));
    if (auto broken = Broken(set.rules.back())) return vision::BadInput(place + " " + *broken + ".");
    if (!ids.insert(set.rules.back().id).second)
      return vision::BadInput(place + "/id \"" + set.rules.back().id +
                              "\" is used twice (\"coverage\" is the program's " +
                              "own); every rule needs its own id.");
  }
  return set;
}

std::vector<std::string> ShippedCriteria() {
  std::vector<std::string> names;
  for (const EmbeddedFile& file : EmbeddedFiles())
    if (IsCriteria(file)) names.push_back(Json::parse(file.text).at("name").get<std::string>());
  return names;
}

vision::Result<CriteriaSet> LoadCriteria(const std::string& criterion, const fs::path& folder) {
  for (const EmbeddedFile& file : EmbeddedFiles()) {
    if (!IsCriteria(file)) continue;
    if (Lower(Json::parse(file.text).at("name").get<std::string>()) == Lower(criterion))
      return ReadCriteria(std::string(file.text), std::string(file.name));
  }
  const fs::path path = folder / criterion;
  std::error_code failed;
  if (criterion.empty() || !fs::is_regular_file(path, failed)) {
    std::string names;
    for (const std::string& name : ShippedCriteria()) names += (names.empty() ? "" : ", ") + name;
    return vision::BadInput("criterion \"" + criterion + "\" is neither a shipped set nor a file in " +
                            (folder.empty() ? "this folder" : folder.string()) + "; shipped are: " + names + ".");
  }
  const auto text = vision::ReadFileWhole(path, 4u << 20);
  if (!text.ok()) return vision::BadInput(text.error().message);
  return ReadCriteria(text.value(), path.string());
}

}  // namespace app::joint
