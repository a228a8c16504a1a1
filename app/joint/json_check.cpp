#include "app/joint/json_check.h"

#include <algorithm>
#include <array>
#include <set>
#include <utility>
#include <vector>

#include "app/joint/embedded.h"
#include "vision/base/schema.h"
#include "vision/base/text.h"

namespace app::joint {
namespace {

using Path = std::vector<std::string>;

std::string Place(const std::string& text, std::size_t byte) {
  const std::size_t end = std::min(byte > 0 ? byte - 1 : 0, text.size());
  const std::string before = text.substr(0, end);
  const auto line = 1 + std::count(before.begin(), before.end(), '\n');
  const std::size_t newline = before.rfind('\n');
  const std::size_t column = newline == std::string::npos ? end + 1 : end - newline;
  return "line " + std::to_string(line) + ", column " + std::to_string(column);
}

bool NotANumberNear(const std::string& text, std::size_t byte) {
  const std::size_t from = byte > 12 ? byte - 12 : 0;
  if (from >= text.size()) return false;
  const std::string near = text.substr(from, 20);
  return near.find("NaN") != std::string::npos || near.find("nan") != std::string::npos ||
         near.find("Inf") != std::string::npos || near.find("inf") != std::string::npos;
}

struct TooMuch {
  const char* what;
};

/// Follows the parser: remembers the first key that an object holds twice, stops it where a limit is passed.
class Watcher {
 public:
  explicit Watcher(const JsonLimits& limits) : limits_(limits) {}
  bool operator()(int depth, Json::parse_event_t event, Json& parsed) {
    if (depth > limits_.depth) throw TooMuch{"lists and objects lie too deep inside each other in it"};
    if (++values_ > limits_.values) throw TooMuch{"it holds too many values"};
    if (event == Json::parse_event_t::object_start) open_.emplace_back();
    if (event == Json::parse_event_t::object_end && !open_.empty()) open_.pop_back();
    if (event == Json::parse_event_t::key && !open_.empty()) {
      const std::string key = parsed.get<std::string>();
      if (!open_.back().insert(key).second && first_.empty()) first_ = key;
    }
    return true;
  }
  const std::string& first() const { return first_; }

 private:
  JsonLimits limits_;
  std::size_t values_ = 0;
  std::vector<std::set<std::string>> open_;
  std::string first_;
};

std::string Joined(const Path& path) {
  std::string out;
  for (const std::string& step : path) out += "/" + vision::Printable(step.substr(0, 80));
  return out.empty() ? "the whole file" : out;
}

std::string ValueText(const Json& value) {
  if (value.is_object()) return "an object";
  if (value.is_array()) return value.empty() ? "an empty list" : "a list of " + std::to_string(value.size());
  std::string text = value.dump(-1, ' ', false, Json::error_handler_t::replace);
  if (text.size() > 60) text = text.substr(0, 57) + "...";
  return vision::Printable(text);
}

const Json* Step(const Json& value, const std::string& step) {
  if (value.is_object()) return value.contains(step) ? &value.at(step) : nullptr;
  if (!value.is_array()) return nullptr;
  const std::size_t index = static_cast<std::size_t>(std::stoul(step));
  return index < value.size() ? &value[index] : nullptr;
}

const Json* At(const Json& value, const Path& path) {
  const Json* here = &value;
  for (const std::string& step : path)
    if (here) here = Step(*here, step);
  return here;
}

const Json* SchemaAt(const Json& schema, const Path& path) {
  const Json* here = &schema;
  for (const std::string& step : path) {
    if (here->contains("properties") && here->at("properties").contains(step)) {
      here = &here->at("properties").at(step);
    } else if (here->contains("items")) {
      here = &here->at("items");
    } else {
      return nullptr;
    }
  }
  return here;
}

std::string KnownKeys(const Json& schema) {
  std::string keys;
  for (const auto& [key, unused] : schema.at("properties").items()) keys += (keys.empty() ? "" : ", ") + key;
  return keys;
}

std::string NumberText(const Json& limit) {
  const double value = limit.get<double>();
  return value == static_cast<double>(static_cast<long long>(value)) ? std::to_string(static_cast<long long>(value))
                                                                     : limit.dump();
}

std::string Bounds(const Json& schema) {
  static constexpr std::array<std::pair<const char*, const char*>, 8> kBounds = {{{"exclusiveMinimum", " > "},
                                                                                  {"minimum", " >= "},
                                                                                  {"exclusiveMaximum", " < "},
                                                                                  {"maximum", " <= "},
                                                                                  {"minItems", " at least "},
                                                                                  {"maxItems", " at most "},
                                                                                  {"minLength", " not shorter than "},
                                                                                  {"maxLength", " not longer than "}}};
  std::string out;
  for (const auto& [key, words] : kBounds) {
    if (!schema.contains(key)) continue;
    const double value = schema.at(key).get<double>();
    if (value == 1e6 || value == -1e6 || std::string(key) == "minLength") continue;
    out += (out.empty() ? "" : " and") + std::string(words) + NumberText(schema.at(key));
  }
  return out;
}

std::string TypeText(const Json& schema) {
  if (!schema.contains("type")) return "a value";
  if (schema.at("type").is_array()) return "text or an object";
  static const std::vector<std::pair<std::string, std::string>> kNames = {
      {"number", "a number"}, {"integer", "a whole number"}, {"string", "text, not empty,"},
      {"array", "a list of"}, {"object", "an object"},       {"boolean", "true or false"}};
  for (const auto& [type, words] : kNames)
    if (schema.at("type") == type) return words;
  return "a value";
}

using Fault = vision::SchemaFault;

/// @param faults Not empty.
const Fault& Worst(const std::vector<Fault>& faults) {
  const auto unknown = [](const Fault& fault) { return fault.rule.rfind("Object contains a property", 0) == 0; };
  const Fault* worst = &faults.front();
  for (const Fault& fault : faults) {
    const bool as_deep = fault.path.size() == worst->path.size();
    if (fault.path.size() > worst->path.size() || (as_deep && unknown(fault) && !unknown(*worst))) worst = &fault;
  }
  return *worst;
}

/// The name that valijson puts between single quotes, from the first to the last one after `after`.
std::string Quoted(const std::string& text, const std::string& after) {
  const std::size_t from = text.find(after);
  const std::size_t begin = text.find('\'', from == std::string::npos ? 0 : from + after.size());
  const std::size_t end = text.rfind('\'');
  return begin == std::string::npos || end <= begin ? "" : text.substr(begin + 1, end - begin - 1);
}

std::string Sentence(const Fault& fault, const Json& value, const Json& schema, const std::string& name) {
  const Json* rule = SchemaAt(schema, fault.path);
  const Json* found = At(value, fault.path);
  if (!rule || !found) return name + ": " + Joined(fault.path) + " is not as the schema says.";
  if (fault.rule.rfind("Object contains a property", 0) == 0) {
    Path path = fault.path;
    path.push_back(Quoted(fault.rule, "constraints:"));
    return name + ": " + Joined(path) + " is not a known key; known here are " + KnownKeys(*rule) + ".";
  }
  if (fault.rule.rfind("Missing required property", 0) == 0) {
    Path path = fault.path;
    path.push_back(Quoted(fault.rule, "property"));
    const Json* missing = SchemaAt(schema, path);
    return name + ": " + Joined(path) + " is missing; it must be " + (missing ? DescribeRule(*missing) : "given") + ".";
  }
  if (rule->contains("minProperties") && found->is_object() && found->empty())
    return name + ": " + Joined(fault.path) + " is empty; it must hold at least one of " + KnownKeys(*rule) + ".";
  return name + ": " + Joined(fault.path) + " is " + ValueText(*found) + "; it must be " + DescribeRule(*rule) + ".";
}

}  // namespace

std::string DescribeRule(const Json& schema) {
  std::string out;
  if (schema.contains("enum")) {
    for (const Json& choice : schema.at("enum")) out += (out.empty() ? "" : " or ") + choice.dump();
  } else {
    out = TypeText(schema) + Bounds(schema);
  }
  if (schema.contains("description")) out += " (" + schema.at("description").get<std::string>() + ")";
  return out;
}

vision::Result<Json> ParseJson(const std::string& text, const std::string& name, const JsonLimits& limits) {
  Watcher keys(limits);
  try {
    Json value = Json::parse(text, std::ref(keys));
    if (!keys.first().empty())
      return vision::BadInput(name + ": the key \"" + vision::Printable(keys.first()) +
                              "\" is given twice in one object; give it once.");
    return value;
  } catch (const TooMuch& too_much) {
    return vision::BadInput(name + ": " + too_much.what + "; no file of this kind does.");
  } catch (const Json::parse_error& error) {
    if (NotANumberNear(text, error.byte))
      return vision::BadInput(name + ": NaN or Infinity at " + Place(text, error.byte) +
                              "; a number must be finite, leave the key out when it is unknown.");
    return vision::BadInput(name + ": not JSON at " + Place(text, error.byte) +
                            "; look for a missing comma, quote or bracket there.");
  } catch (const Json::exception&) {
    return vision::BadInput(name + ": holds a number too large to be one (such as 1e999); a number must be finite.");
  }
}

vision::Status CheckSchema(const Json& value, std::string_view schema_name, const std::string& name) {
  return CheckSchemaText(value, std::string(EmbeddedText(schema_name)), name);
}

vision::Status CheckSchemaText(const Json& value, const std::string& schema_text, const std::string& name) {
  const Json schema = Json::parse(schema_text);
  const std::vector<Fault> faults = vision::FaultsBySchema(value, schema);
  if (faults.empty()) return std::nullopt;
  return vision::BadInput(Sentence(Worst(faults), value, schema, name));
}

std::optional<double> Number(const Json& object, const char* key) {
  if (!object.is_object() || !object.contains(key)) return std::nullopt;
  return object.at(key).get<double>();
}

std::optional<std::string> Text(const Json& object, const char* key) {
  if (!object.is_object() || !object.contains(key)) return std::nullopt;
  return object.at(key).get<std::string>();
}

}  // namespace app::joint
