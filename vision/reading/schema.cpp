#include "vision/reading/schema.h"

#include <nlohmann/json.hpp>
#include <valijson/adapters/nlohmann_json_adapter.hpp>
#include <valijson/schema.hpp>
#include <valijson/schema_parser.hpp>
#include <valijson/validation_results.hpp>
#include <valijson/validator.hpp>

#include "vision/reading/schema_text.h"  // generated from reading.schema.json

namespace vision::reading {

Status CheckAgainstSchema(const std::string& text, const std::string& name) {
  using Adapter = valijson::adapters::NlohmannJsonAdapter;
  const auto json = nlohmann::json::parse(text, nullptr, false);
  if (json.is_discarded()) return BadInput(name + " is not JSON; a reading is written by `rootscroll measure`.");
  const auto schema_json = nlohmann::json::parse(kReadingSchema);
  valijson::Schema schema;
  valijson::SchemaParser parser;
  parser.populateSchema(Adapter(schema_json), schema);
  valijson::Validator validator;
  valijson::ValidationResults results;
  if (validator.validate(schema, Adapter(json), &results)) return std::nullopt;
  valijson::ValidationResults::Error error, next;
  while (results.popError(next))
    if (next.context.size() >= error.context.size()) error = next;  // the innermost says most
  std::string place;
  for (const auto& part : error.context) place += part;
  return BadInput(name + ": at " + place + ": " + error.description);
}

}  // namespace vision::reading
