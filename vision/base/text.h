#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

/// Text that comes from outside: what may come in, and how it is shown where a terminal obeys some characters.
namespace vision {

enum class Lines { kOne, kMany };  ///< kMany: line feed and tabulator may stand in it.

/// What makes `text` unfit to be taken in: not UTF-8 (RFC 3629), longer than `most_bytes`, a control character, a
/// noncharacter (Unicode 15, section 23.7), a byte-order mark, a character that turns the direction of writing (UAX 9)
/// or an invisible one that a reader cannot see (interlinear, tag, line and paragraph separators).
/// @return nullopt when it is fit; else the end of a sentence: "holds U+202E, which turns the direction of writing".
std::optional<std::string> TextFault(std::string_view text, Lines lines = Lines::kOne, std::size_t most_bytes = 4000);

/// `text` with every such character written as \n, \x1b or \u202e (as JSON writes it) and bytes that are no UTF-8 as
/// \xff, so that it can neither command a terminal nor begin a line of its own.
std::string Printable(std::string_view text);

/// As Printable for each line of a text that has lines of our own making.
std::string PrintableLines(std::string_view text);

}  // namespace vision
