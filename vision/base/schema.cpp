#include "vision/base/schema.h"

#include <nlohmann/json.hpp>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validation_results.hpp>
#include <valijson/validator.hpp>

namespace vision {

std::vector<SchemaFault> FaultsBySchema(const nlohmann::json& value, const nlohmann::json& schema) {
  using Adapter = valijson::adapters::NlohmannJsonAdapter;
  valijson::Schema parsed;
  valijson::SchemaParser parser(valijson::SchemaParser::kDraft7);
  parser.populateSchema(Adapter(schema), parsed);
  valijson::Validator validator(valijson::Validator::kStrongTypes);
  valijson::ValidationResults results;
  std::vector<SchemaFault> faults;
  if (validator.validate(parsed, Adapter(value), &results)) return faults;
  valijson::ValidationResults::Error error;
  while (results.popError(error)) {
    faults.push_back({{}, error.description});
    for (std::size_t i = 1; i < error.context.size(); ++i)  // after "<root>", each "[step]"
      faults.back().path.push_back(error.context[i].substr(1, error.context[i].size() - 2));
  }
  return faults;
}

Status CheckJsonText(const std::string& text, const char* schema_text, const std::string& name,
                     const std::string& writer) {
  const auto json = nlohmann::json::parse(text, nullptr, false);
  if (json.is_discarded()) return BadInput(name + " is not JSON; such a file is written by " + writer + ".");
  const auto faults = FaultsBySchema(json, nlohmann::json::parse(schema_text));
  if (faults.empty()) return std::nullopt;
  const SchemaFault* worst = &faults.front();
  for (const SchemaFault& fault : faults)
    if (fault.path.size() >= worst->path.size()) worst = &fault;
  std::string place = "<root>";
  for (const std::string& step : worst->path) place += "[" + step + "]";
  return BadInput(name + ": at " + place + ": " + worst->rule);
}

}  // namespace vision
