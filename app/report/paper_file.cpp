#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/report/report.h"
#include "app/report/wording.h"
#include "vision/base/file.h"

namespace app::report {

vision::Status CheckLanguage(const std::string& language) {
  const auto& known = Languages();
  if (language.empty() || language == "en" || std::find(known.begin(), known.end(), language) != known.end())
    return std::nullopt;
  std::string all = "en";
  for (const auto& name : known) all += ", " + name;
  return vision::BadInput("language is " + language + "; it must be one of " + all + ".");
}

vision::Result<HousePaper> LoadPaper(const std::filesystem::path& file) {
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  const auto json = nlohmann::ordered_json::parse(text.value(), nullptr, false);
  const std::string name = file.string();
  if (!json.is_object() || json.value("format", nlohmann::ordered_json()) != "rootscroll.paper/1")
    return vision::BadInput(name + ": format must be \"rootscroll.paper/1\".");
  static const std::vector<std::string> keys{"format", "company", "header", "logo", "texts", "wording", "language"};
  for (const auto& [key, value] : json.items())
    if (std::find(keys.begin(), keys.end(), key) == keys.end())
      return vision::BadInput(name + ": " + key + " is not a key of a company's paper.");
  try {
    HousePaper paper;
    paper.company = json.value("company", "");
    paper.header = json.value("header", "");
    if (json.contains("logo")) paper.logo = file.parent_path() / json["logo"].get<std::string>();
    if (json.contains("texts"))
      for (const auto& entry : json["texts"]) paper.texts.emplace_back(entry.at("heading"), entry.at("text"));
    if (json.contains("wording"))
      for (const auto& [from, to] : json["wording"].items()) paper.wording.emplace_back(from, to.get<std::string>());
    paper.language = json.value("language", "");
    if (auto wrong = CheckLanguage(paper.language)) return vision::BadInput(name + ": " + wrong->message);
    std::error_code ignored;
    if (!paper.logo.empty() && !std::filesystem::is_regular_file(paper.logo, ignored))
      return vision::BadInput(name + ": logo names " + paper.logo.string() + ", which is not there.");
    return paper;
  } catch (const nlohmann::json::exception&) {
    return vision::BadInput(name + ": a value is missing or of the wrong kind.");
  }
}

}  // namespace app::report
