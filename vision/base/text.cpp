#include "vision/base/text.h"

#include <algorithm>
#include <cstdint>
#include <cstdio>

namespace vision {
namespace {

/// One character and the bytes it takes; length 0: the byte at its place is no UTF-8.
struct Decoded {
  char32_t code = 0;
  std::size_t length = 0;
};

/// RFC 3629, section 4: shortest form, no surrogates, at most U+10FFFF.
Decoded DecodeAt(std::string_view text, std::size_t at) {
  const auto byte = [&](std::size_t i) { return static_cast<unsigned char>(text[i]); };
  const unsigned first = byte(at);
  if (first < 0x80) return {first, 1};
  const std::size_t length = first >= 0xF0 ? 4 : first >= 0xE0 ? 3 : 2;
  if (first < 0xC2 || first > 0xF4 || at + length > text.size()) return {};
  char32_t code = first & (0xFFu >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if ((byte(at + i) & 0xC0) != 0x80) return {};
    code = code << 6 | (byte(at + i) & 0x3Fu);
  }
  const bool shortest = code >= (length == 4 ? 0x10000u : length == 3 ? 0x800u : 0x80u);
  if (!shortest || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return {};
  return {code, length};
}

bool Between(char32_t code, char32_t from, char32_t to) { return code >= from && code <= to; }

/// Why a character may not stand in a text; nullptr when it may.
const char* WhyNot(char32_t code) {
  if (code < 0x20 || Between(code, 0x7F, 0x9F)) return "a control character";
  if (code == 0xFEFF) return "a byte-order mark";
  if (Between(code, 0xFDD0, 0xFDEF) || (code & 0xFFFE) == 0xFFFE) return "a noncharacter";
  if (code == 0x061C || Between(code, 0x200E, 0x200F) || Between(code, 0x202A, 0x202E) || Between(code, 0x2066, 0x2069))
    return "which turns the direction of writing";
  if (Between(code, 0x2028, 0x2029)) return "which breaks the line";
  if (Between(code, 0x206A, 0x206F) || Between(code, 0xFFF9, 0xFFFB) || Between(code, 0xE0000, 0xE007F) ||
      code == 0x200B || Between(code, 0x2060, 0x2064) || code == 0x00AD || code == 0x180E)
    return "which cannot be seen";
  return nullptr;
}

std::string Named(char32_t code) {
  char text[16];
  std::snprintf(text, sizeof text, "U+%04X", static_cast<unsigned>(code));
  return text;
}

std::string Escaped(char32_t code) {
  if (code == '\n') return "\\n";
  if (code == '\r') return "\\r";
  if (code == '\t') return "\\t";
  char text[24];
  if (code < 0x20) {
    std::snprintf(text, sizeof text, "\\x%02x", static_cast<unsigned>(code));
  } else if (code < 0x10000) {
    std::snprintf(text, sizeof text, "\\u%04x", static_cast<unsigned>(code));
  } else {  // a surrogate pair (RFC 8259, section 7)
    const unsigned rest = static_cast<unsigned>(code) - 0x10000;
    std::snprintf(text, sizeof text, "\\u%04x\\u%04x", 0xD800 + (rest >> 10), 0xDC00 + (rest & 0x3FF));
  }
  return text;
}

}  // namespace

std::optional<std::string> TextFault(std::string_view text, Lines lines, std::size_t most_bytes) {
  if (text.size() > most_bytes)
    return "is " + std::to_string(text.size()) + " bytes long; at most " + std::to_string(most_bytes) + " are taken";
  for (std::size_t at = 0; at < text.size();) {
    const Decoded one = DecodeAt(text, at);
    if (one.length == 0) return "is not UTF-8 (byte " + std::to_string(at + 1) + ")";
    const bool allowed = lines == Lines::kMany && (one.code == '\n' || one.code == '\t');
    if (const char* why = WhyNot(one.code); why != nullptr && !allowed) return "holds " + Named(one.code) + ", " + why;
    at += one.length;
  }
  return std::nullopt;
}

std::string Printable(std::string_view text) {
  std::string shown;
  for (std::size_t at = 0; at < text.size();) {
    const Decoded one = DecodeAt(text, at);
    if (one.length == 0) {
      char byte[8];
      std::snprintf(byte, sizeof byte, "\\x%02x", static_cast<unsigned>(static_cast<unsigned char>(text[at++])));
      shown += byte;
      continue;
    }
    if (WhyNot(one.code) == nullptr)
      shown += text.substr(at, one.length);
    else
      shown += Escaped(one.code);
    at += one.length;
  }
  return shown;
}

std::string PrintableLines(std::string_view text) {
  std::string shown;
  for (std::size_t at = 0; at <= text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    shown += Printable(text.substr(at, end - at));
    if (end < text.size()) shown += '\n';
    at = end + 1;
  }
  return shown;
}

}  // namespace vision
