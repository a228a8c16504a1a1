#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/report/report.h"
#include "vision/base/file.h"

namespace app::report {

vision::Result<HousePaper> LoadPaper(const std::filesystem::path& file) {
  auto text = vision::ReadFileWhole(file);
  if (!text.ok()) return text.error();
  const auto json = nlohmann::ordered_json::parse(text.value(), nullptr, false);
  const std::string name = file.string();
  if (!json.is_object() || json.value("format", "") != "rootscroll.paper/1")
    return vision::BadInput(name + ": format must be \"rootscroll.paper/1\".");
  static const std::vector<std::string> keys{"format", "company", "header", "logo", "texts", "wording"};
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
    std::error_code ignored;
    if (!paper.logo.empty() && !std::filesystem::is_regular_file(paper.logo, ignored))
      return vision::BadInput(name + ": logo names " + paper.logo.string() + ", which is not there.");
    return paper;
  } catch (const nlohmann::json::exception& wrong) {
    return vision::BadInput(name + ": a value is of the wrong kind (" + wrong.what() + ").");
  }
}

}  // namespace app::report
