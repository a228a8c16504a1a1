#include "app/words/text.h"

#include <algorithm>
#include <array>
#include <cstdio>
#include <cstdlib>

#include "app/words/print.h"
#include "vision/base/says.h"

namespace app::words {
namespace {

constexpr std::array<std::string_view, kPrints> kEnglish{
#define PRINT(code, english) english,
#include "app/words/every_print.h"
#undef PRINT
};

Text OfArgument(const vision::Argument& argument) {
  return argument.sentence.empty() ? Text(Text::Of::kArgument, argument.text) : Text(argument.sentence);
}

}  // namespace

Text::Text(Print code, std::vector<Text> arguments) : of(Of::kCode), words(WordsOf(code)), args(std::move(arguments)) {}

Text::Text(vision::Says code, std::vector<Text> arguments)
    : of(Of::kCode), words(vision::WordsOf(code)), args(std::move(arguments)) {}

Text::Text(const vision::Sentence& sentence) {
  if (sentence.empty()) return;
  if (sentence.code == vision::Says::kAsSaid) {
    *this = Term(vision::EnglishOf(sentence));
    return;
  }
  of = Of::kCode;
  words = vision::WordsOf(sentence.code);
  for (const vision::Argument& argument : sentence.args) args.push_back(OfArgument(argument));
}

Text Number(double value, int decimals) {
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  return Typed(text[0] == '-' && std::strtod(text, nullptr) == 0 ? text + 1 : text);
}

Text Joined(const Text& how, const std::vector<Text>& parts) {
  Text all;
  for (const Text& part : parts) {
    if (part.empty()) continue;
    Text longer = how;
    longer.args = {std::move(all), part};
    all = longer.args[0].empty() ? part : std::move(longer);
  }
  return all;
}

std::string_view WordsOf(Print code) { return kEnglish[static_cast<std::size_t>(code)]; }

bool IsPrint(std::string_view words) { return std::find(kEnglish.begin(), kEnglish.end(), words) != kEnglish.end(); }

std::string EnglishOf(const Text& text) {
  if (text.words.empty()) return text.as_is;
  std::vector<std::string> args;
  for (const Text& arg : text.args) args.push_back(EnglishOf(arg));
  return vision::FilledIn(text.words, args);
}

bool operator==(const Text& a, const Text& b) {
  return a.of == b.of && a.words == b.words && a.args == b.args && a.as_is == b.as_is;
}

}  // namespace app::words
