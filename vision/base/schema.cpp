#include "vision/base/schema.h"

#include <nlohmann/json.hpp>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validation_results.hpp>
#include <valijson/validator.hpp>

namespace vision {

Status CheckJsonText(const std::string& text, const char* schema_text, const std::string& name,
                     const std::string& writer) {
  using Adapter = valijson::adapters::NlohmannJsonAdapter;
  const auto json = nlohmann::json::parse(text, nullptr, false);
  if (json.is_discarded()) return BadInput(name + " is not JSON; such a file is written by " + writer + ".");
  const auto schema_json = nlohmann::json::parse(schema_text);
  valijson::Schema schema;
  valijson::SchemaParser parser;
  parser.populateSchema(Adapter(schema_json), schema);
  valijson::Validator validator;
  valijson::ValidationResults results;
  if (validator.validate(schema, Adapter(json), &results)) return std::nullopt;
  valijson::ValidationResults::Error error, next;
  while (results.popError(next))
    if (next.context.size() >= error.context.size()) error = next;
  std::string place;
  for (const auto& part : error.context) place += part;
  return BadInput(name + ": at " + place + ": " + error.description);
}

}  // namespace vision
