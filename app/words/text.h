#pragma once

#include <concepts>
#include <string>
#include <string_view>
#include <vector>

#include "vision/base/sentence.h"

/// What people read on a page, before it is in any language: codes with what differs. Words are chosen once, where the
/// page is set (app/report/wording.h), in English from the codes' own words, in other languages by code.
namespace app::words {

/// The codes are in print.h, so that a new one is not compiled everywhere.
enum class Print : int;

/// A code of a page, a sentence of a reading or verdict, a term, or what somebody typed; in each other as deep as need
/// be. What has no code is made by Typed and Term alone, so that no English gets onto a page unnoticed.
struct Text {
  enum class Of {
    kCode,      ///< `words` with `args`.
    kTyped,     ///< A name, a number, what somebody typed: the same in every language.
    kTerm,      ///< A term of a list that a file or a lower room keeps (kinds, outcomes, titles of rules).
    kArgument,  ///< What stands in a sentence of a reading: a name, a number or a term.
  };

  Text() = default;                                           ///< Says nothing.
  Text(Print code, std::vector<Text> arguments = {});         // NOLINT
  Text(vision::Says code, std::vector<Text> arguments = {});  // NOLINT
  Text(const vision::Sentence& sentence);                     // NOLINT
  Text(Of of_what, std::string as_it_is) : of(of_what), as_is(std::move(as_it_is)) {}

  bool empty() const { return words.empty() && as_is.empty(); }

  Of of = Of::kTyped;
  std::string_view words = {};  ///< Of its code, %1 to %9 for what differs.
  std::vector<Text> args = {};  ///< What stands at %1, %2 ...
  std::string as_is = {};       ///< Where it has no code.
};

inline Text Typed(std::string text) { return {Text::Of::kTyped, std::move(text)}; }
inline Text Typed(std::integral auto count) { return Typed(std::to_string(count)); }
inline Text Term(std::string_view english) { return {Text::Of::kTerm, std::string(english)}; }

/// `value` with so many decimals; never "-0.00".
Text Number(double value, int decimals);

/// One after the other as `how` says ("%1, %2"); those that say nothing are left out.
Text Joined(const Text& how, const std::vector<Text>& parts);

/// The English words of a code, with %1 to %9 for what differs.
std::string_view WordsOf(Print code);

/// Are these the words of a code of a page?
bool IsPrint(std::string_view words);

/// In English, filled in.
std::string EnglishOf(const Text& text);

bool operator==(const Text& a, const Text& b);

}  // namespace app::words
