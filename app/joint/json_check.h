#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>

#include "vision/base/result.h"

/// Reading JSON written by people: every failure is one sentence that names file, JSON path and what would be right.
namespace app::joint {

using Json = nlohmann::json;

/// What a JSON text from outside may hold: bounds memory and the depth of every later walk.
struct JsonLimits {
  int depth = 64;                ///< Lists and objects inside each other; > 0.
  std::size_t values = 2000000;  ///< Values and keys; > 0. About 100 bytes of memory each.
};

/// Parses strictly: NaN, Infinity, numbers too large, a key given twice, text that is no UTF-8 and more than `limits`
/// are errors.
/// @param name How the file is called in a message.
vision::Result<Json> ParseJson(const std::string& text, const std::string& name, const JsonLimits& limits = {});

/// Checks against a JSON Schema (draft-07) of this room. Of several faults the deepest is reported, an unknown key
/// first.
/// @param schema_name Name of an embedded schema, such as "joint.schema.json".
vision::Status CheckSchema(const Json& value, std::string_view schema_name, const std::string& name);

/// As above, against the text of a schema of another room.
vision::Status CheckSchemaText(const Json& value, const std::string& schema_text, const std::string& name);

/// What a value at a place in the schema must be, for people: "a number > 0 (wall thickness, mm)".
std::string DescribeRule(const Json& schema);

/// @return The number at `key`, nullopt when the key is absent. The value must have passed the schema.
std::optional<double> Number(const Json& object, const char* key);

/// @return The text at `key`, nullopt when the key is absent.
std::optional<std::string> Text(const Json& object, const char* key);

}  // namespace app::joint
