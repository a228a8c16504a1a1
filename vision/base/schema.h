#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "vision/base/result.h"

/// Files of ours are JSON, each of a format with a schema of its own (draft-07).
namespace vision {

struct SchemaFault {
  std::vector<std::string> path;  ///< Keys and places in lists from the whole value to the fault.
  std::string rule;               ///< Which rule is broken, in the words of valijson.
};

/// Every rule of `schema` (draft-07) that `value` breaks, types taken strictly, in valijson's order; empty where it
/// holds.
std::vector<SchemaFault> FaultsBySchema(const nlohmann::json& value, const nlohmann::json& schema);

/// First broken rule of a JSON text against a schema's text; of several faults the innermost, which says most.
/// @param name Goes into the sentence. @param writer What writes such a file, for people.
Status CheckJsonText(const std::string& text, const char* schema, const std::string& name, const std::string& writer);

}  // namespace vision
