#include "app/book/shape.h"

#include <limits>

#include "vision/base/text.h"

namespace app::book {

namespace {
using Json = nlohmann::json;

const char* Wanted(const Json& sample) {
  if (sample.is_string()) return "text";
  if (sample.is_boolean()) return "true or false";
  if (sample.is_number_float()) return "a number";
  if (sample.is_number()) return "a whole number";
  return sample.is_array() ? "a list" : "an object";
}

bool WholeNumber(const Json& value) {
  if (value.is_number_unsigned())
    return value.get<std::uint64_t>() <= static_cast<std::uint64_t>(std::numeric_limits<std::int64_t>::max());
  return value.is_number_integer();
}

bool SameKind(const Json& value, const Json& sample) {
  if (sample.is_string()) return value.is_string();
  if (sample.is_boolean()) return value.is_boolean();
  if (sample.is_number_float()) return value.is_number();
  if (sample.is_number()) return WholeNumber(value);
  return sample.is_array() ? value.is_array() : value.is_object();
}

vision::Status CheckAt(const std::string& name, const std::string& path, const Json& value, const Json& sample) {
  if (value.is_null() && !path.empty()) return std::nullopt;
  if (!SameKind(value, sample))
    return vision::BadInput(name + ": " + (path.empty() ? "it" : path) + " must be " + Wanted(sample) + ".");
  if (value.is_array())
    for (std::size_t i = 0; i < value.size(); ++i)
      if (auto wrong = CheckAt(name, path + "/" + std::to_string(i), value[i], sample.front())) return wrong;
  if (!value.is_object()) return std::nullopt;
  for (const auto& [key, item] : value.items()) {
    const std::string here = path + "/" + vision::Printable(key.substr(0, 80));
    const auto known = sample.find(key);
    if (known == sample.end()) return vision::BadInput(name + ": " + here + " is not a key that may stand there.");
    if (auto wrong = CheckAt(name, here, item, *known)) return wrong;
  }
  return std::nullopt;
}
}  // namespace

vision::Status CheckShape(const std::string& name, const Json& value, const Json& sample) {
  return CheckAt(name, "", value, sample);
}

}  // namespace app::book
