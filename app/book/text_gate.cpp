#include "app/book/text_gate.h"

#include <QString>
#include <set>

namespace app::book {

namespace {
const std::set<std::string> kWithLines{"text", "found", "reason", "statement", "closed_because"};

vision::Status CheckAt(const std::string& what, const std::string& path, const nlohmann::json& value,
                       vision::Lines lines) {
  if (value.is_string())
    return CheckText(what + path, value.get_ref<const std::string&>(), lines,
                     lines == vision::Lines::kMany ? kMostNote : kMostText);
  if (value.is_array())
    for (std::size_t i = 0; i < value.size(); ++i)
      if (auto wrong = CheckAt(what, path + "/" + std::to_string(i), value[i], lines)) return wrong;
  if (!value.is_object()) return std::nullopt;
  for (const auto& [key, item] : value.items()) {
    if (auto wrong = CheckText(what + path + ", a key,", key)) return wrong;
    const auto own = kWithLines.contains(key) ? vision::Lines::kMany : vision::Lines::kOne;
    if (auto wrong = CheckAt(what, path + "/" + key, item, own)) return wrong;
  }
  return std::nullopt;
}
}  // namespace

std::string Composed(const std::string& text) {
  if (vision::TextFault(text, vision::Lines::kMany, text.size())) return text;  // named by CheckText as it is
  return QString::fromStdString(text).normalized(QString::NormalizationForm_C).toStdString();
}

vision::Status CheckText(const std::string& what, const std::string& text, vision::Lines lines,
                         std::size_t most_bytes) {
  if (const auto fault = vision::TextFault(text, lines, most_bytes))
    return vision::BadInput(vision::Printable(what) + " " + *fault + "; write it as plain text.");
  if (Composed(text) != text)
    return vision::BadInput(vision::Printable(what) +
                            " has letters and accents apart; write them as one character each (Unicode NFC).");
  return std::nullopt;
}

vision::Status CheckNamed(const std::string& what, const std::string& text, std::size_t most_bytes) {
  if (QString::fromStdString(text).trimmed().isEmpty())
    return vision::BadInput(what + " is empty or blank; it must be given.");
  return CheckText(what, text, vision::Lines::kOne, most_bytes);
}

vision::Status CheckTexts(const std::string& what, const nlohmann::json& value) {
  return CheckAt(what, "", value, vision::Lines::kOne);
}

bool IsPlainName(const std::string& name) {
  constexpr std::size_t kMostName = 255;  // bytes, what Linux's file systems take (NAME_MAX)
  return !name.empty() && name.size() <= kMostName && name != "." && name != ".." &&
         name.find_first_of("/\\") == std::string::npos && name.find('\0') == std::string::npos;
}

}  // namespace app::book
