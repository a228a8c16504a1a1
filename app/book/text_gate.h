#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "vision/base/result.h"
#include "vision/base/text.h"

/// The one gate for text that comes into a book: what is stored must be what was hashed and signed, and must read the
/// same to everybody.
namespace app::book {

constexpr std::size_t kMostText = 4000;   ///< Bytes of a name, an id, a reason.
constexpr std::size_t kMostNote = 60000;  ///< Bytes of a text that may have lines.
constexpr std::size_t kMostId = 200;      ///< Bytes of a joint id or a person's name.

/// In Unicode's composed form (NFC, UAX 15): an accent typed by itself and its letter become one character.
std::string Composed(const std::string& text);

/// @param what How the text is called in the sentence.
/// @return kBadInput naming the character, when `text` is not fit (vision::TextFault) or not composed.
vision::Status CheckText(const std::string& what, const std::string& text, vision::Lines lines = vision::Lines::kOne,
                         std::size_t most_bytes = kMostText);

/// As CheckText; moreover the text must not be blank.
vision::Status CheckNamed(const std::string& what, const std::string& text, std::size_t most_bytes = kMostText);

/// Every text of a JSON value, keys too. A value whose key is text, found, reason, statement or closed_because may have
/// lines.
vision::Status CheckTexts(const std::string& what, const nlohmann::json& value);

/// A name without a folder, that names one file wherever it is laid.
bool IsPlainName(const std::string& name);

}  // namespace app::book
