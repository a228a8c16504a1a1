#include "app/joint/json_check.h"
#include "app/joint/verdict.h"

namespace app::joint {

namespace {
Outcome OutcomeFrom(const std::string& name) {
  for (const Outcome outcome :
       {Outcome::kWithin, Outcome::kBeyond, Outcome::kUndecided, Outcome::kAnnotated, Outcome::kOverruled})
    if (NameOf(outcome) == name) return outcome;
  return Outcome::kNotMeasured;
}

std::optional<double> Maybe(const Json& object, const char* key) {
  return object.contains(key) && object[key].is_number() ? std::optional(object[key].get<double>()) : std::nullopt;
}

Finding FindingFrom(const Json& json) {
  Finding finding;
  for (const auto& [key, text] : {std::pair{"rule", &finding.rule_id},
                                  {"title", &finding.title},
                                  {"iso6520", &finding.iso6520},
                                  {"paragraph", &finding.paragraph},
                                  {"how_known", &finding.how_known},
                                  {"datum", &finding.datum}})
    *text = json.value(key, "");
  finding.reason = vision::SentencesFrom(json.value("reason", ""));
  finding.outcome = OutcomeFrom(json.value("outcome", ""));
  for (const auto& [key, number] : {std::pair{"theta_deg", &finding.theta_deg},
                                    {"end_theta_deg", &finding.end_theta_deg},
                                    {"z_mm", &finding.z_mm},
                                    {"value_mm", &finding.value_mm},
                                    {"u_mm", &finding.u_mm},
                                    {"limit_mm", &finding.limit_mm}})
    *number = Maybe(json, key);
  return finding;
}
}  // namespace

vision::Result<Verdict> VerdictFromJson(const std::string& text, const std::string& name) {
  auto parsed = ParseJson(text, name);
  if (!parsed.ok()) return parsed.error();
  const Json& json = parsed.value();
  const Json format = json.is_object() ? json.value("format", Json()) : Json();
  if (format != "rootscroll.verdict/2" && format != "rootscroll.verdict/1")
    return vision::BadInput(name + ": format must be \"rootscroll.verdict/2\" or the older /1.");
  try {
    Verdict verdict;
    for (const auto& [key, value] : {std::pair{"criterion", &verdict.criterion},
                                     {"standard", &verdict.standard},
                                     {"edition", &verdict.edition},
                                     {"disposition", &verdict.disposition},
                                     {"decided_by", &verdict.decided_by},
                                     {"reading_sha256", &verdict.reading_sha256}})
      *value = json.value(key, "");
    verdict.exit_code = json.value("exit_code", 3);
    verdict.k = json.value("k", 2.0);
    for (const auto& note : json.value("notes", std::vector<std::string>()))
      verdict.notes.push_back(vision::SentenceFrom(note));
    for (const auto& finding : json.at("findings")) verdict.findings.push_back(FindingFrom(finding));
    return verdict;
  } catch (const Json::exception&) {
    return vision::BadInput(name + ": the verdict cannot be read; a value is missing or of the wrong kind.");
  }
}

}  // namespace app::joint
