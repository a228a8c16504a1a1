#include "vision/base/sentence.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <optional>

#include "vision/base/says.h"

namespace vision {
namespace {

constexpr std::array<std::string_view, kSentences> kWords{
#define SAYS(code, english) english,
#include "vision/base/every_sentence.h"
#undef SAYS
};

/// What earlier programs wrote for a code, where it differs.
constexpr std::string_view kEdgeBehindBeadEarlier =
    "this edge lies behind the bead in this view; look from the other side";

bool IsPlace(std::string_view words, std::size_t i) {
  return words[i] == '%' && i + 1 < words.size() && words[i + 1] >= '1' && words[i + 1] <= '9';
}

std::size_t NextPlace(std::string_view words) {
  std::size_t i = 0;
  while (i < words.size() && !IsPlace(words, i)) ++i;
  return i;
}

/// Letters that stand in the sentence itself.
int OwnLetters(std::string_view words) {
  return static_cast<int>(std::count_if(words.begin(), words.end(), [](unsigned char c) { return std::isalpha(c); }));
}

/// All codes that a file may hold, those first that say most of a sentence themselves.
const std::vector<Says>& MostFirst() {
  static const std::vector<Says> codes = [] {
    std::vector<Says> all;
    for (int i = static_cast<int>(Says::kAsSaid) + 1; i < static_cast<int>(Says::kBesides); ++i)
      all.push_back(static_cast<Says>(i));
    std::stable_sort(all.begin(), all.end(),
                     [](Says a, Says b) { return OwnLetters(WordsOf(a)) > OwnLetters(WordsOf(b)); });
    return all;
  }();
  return codes;
}

/// Bounds on how long a strange text is looked at: sentences in each other, ends of a place that are tried.
constexpr int kDeepest = 3, kMostEnds = 4;

/// Known only where a code has the whole of it.
std::optional<Sentence> Known(const std::string& english, int depth);

/// What a place of a sentence holds: a sentence, with its full stop put back where one follows, or a text.
Argument ArgumentFrom(const std::string& text, bool stop_follows, int depth) {
  if (depth == kDeepest) return text;
  if (stop_follows)
    if (auto known = Known(text + ".", depth + 1)) return *known;
  if (auto known = Known(text, depth + 1)) return *known;
  return text;
}

/// A sentence with hardly a word of its own is meant only where its last place holds a known one.
bool Believed(Says code, const std::vector<Argument>& args) {
  return OwnLetters(WordsOf(code)) >= 3 || (!args.empty() && !args.back().sentence.empty());
}

/// Is the text these words, with what stands at their places in `args`? Places are as short as they can be.
bool Matches(Says code, std::string_view words, std::string_view text, int depth, std::vector<Argument>& args) {
  const std::size_t place = NextPlace(words);
  if (!text.starts_with(words.substr(0, place))) return false;
  if (place == words.size()) return text.size() == words.size() && Believed(code, args);
  text.remove_prefix(place);
  const auto which = static_cast<std::size_t>(words[place + 1] - '1');
  words.remove_prefix(place + 2);
  const std::string_view next = words.substr(0, NextPlace(words));
  int ends = 0;
  for (std::size_t length = 1; length <= text.size() && ends < kMostEnds; ++length) {
    if (!text.substr(length).starts_with(next) || (next.empty() && length < text.size())) continue;
    ++ends;
    std::vector<Argument> more = args;
    if (more.size() <= which) more.resize(which + 1, std::string());
    more[which] = ArgumentFrom(std::string(text.substr(0, length)), next.starts_with('.'), depth);
    if (Matches(code, words, text.substr(length), depth, more)) return args = std::move(more), true;
  }
  return false;
}

std::optional<Sentence> Known(const std::string& english, int depth) {
  for (const Says code : MostFirst()) {
    Sentence sentence{code};
    if (Matches(code, WordsOf(code), english, depth, sentence.args)) return sentence;
  }
  return std::nullopt;
}

std::vector<std::string> EnglishOf(const std::vector<Argument>& args) {
  std::vector<std::string> texts;
  for (const Argument& argument : args) texts.push_back(EnglishOf(argument));
  return texts;
}

}  // namespace

bool operator==(const Sentence& a, const Sentence& b) {
  return a.code == b.code && EnglishOf(a.args) == EnglishOf(b.args);
}

bool operator<(const Sentence& a, const Sentence& b) {
  return a.code != b.code ? a.code < b.code : EnglishOf(a.args) < EnglishOf(b.args);
}

std::string_view WordsOf(Says code) { return kWords[static_cast<std::size_t>(code)]; }

bool HasCode(std::string_view words) { return std::find(kWords.begin(), kWords.end(), words) != kWords.end(); }

std::string FilledIn(std::string_view words, const std::vector<std::string>& args) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) {
    if (!IsPlace(words, i)) {
      out += words[i];
      continue;
    }
    const auto place = static_cast<std::size_t>(words[++i] - '1');
    if (place >= args.size()) continue;
    std::string_view arg = args[place];
    if (arg.ends_with('.') && words.substr(i + 1).starts_with('.')) arg.remove_suffix(1);
    out += arg;
  }
  return out;
}

std::string EnglishOf(const Sentence& sentence) { return FilledIn(WordsOf(sentence.code), EnglishOf(sentence.args)); }

std::string EnglishOf(const Argument& argument) {
  return argument.sentence.empty() ? argument.text : EnglishOf(argument.sentence);
}

std::string EnglishOf(const std::vector<Sentence>& sentences) {
  std::string text;
  for (const Sentence& sentence : sentences) text += (text.empty() ? "" : " ") + EnglishOf(sentence);
  return text;
}

Sentence AsSaid(std::string text) { return {Says::kAsSaid, {std::move(text)}}; }

Sentence SentenceFrom(const std::string& english) {
  if (english.empty()) return {};
  if (english == kEdgeBehindBeadEarlier) return {Says::kEdgeBehindBead, {}};
  if (auto known = Known(english, 1); known && EnglishOf(*known) == english) return *known;
  return AsSaid(english);
}

std::vector<Sentence> SentencesFrom(const std::string& english) {
  std::vector<Sentence> sentences;
  for (std::string_view rest = english; !rest.empty();) {
    std::size_t length = rest.size();
    std::optional<Sentence> next;
    for (auto stop = rest.find(". "); !next && stop != rest.npos; stop = rest.find(". ", stop + 1)) {
      next = Known(std::string(rest.substr(0, stop + 1)), 1);
      if (next) length = stop + 2;
    }
    if (!next) next = SentenceFrom(std::string(rest));
    if (const auto stop = rest.find(". "); next->code == Says::kAsSaid && stop != rest.npos)
      next = AsSaid(std::string(rest.substr(0, stop + 1))), length = stop + 2;
    sentences.push_back(std::move(*next));
    rest.remove_prefix(length);
  }
  return sentences;
}

}  // namespace vision
