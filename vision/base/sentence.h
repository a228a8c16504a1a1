#pragma once

#include <compare>
#include <string>
#include <string_view>
#include <vector>

/// What is said of a recording: a code with what differs from case to case. Rooms say codes; sentences are made from
/// them at the edge, in English here and in other languages from the same sentences (app/report/wording_es.json).
namespace vision {

/// The codes are in says.h, so that a new one is not compiled everywhere.
enum class Says : int;

struct Argument;

struct Sentence {
  Says code = {};                   ///< Says::kNone: nothing is said.
  std::vector<Argument> args = {};  ///< What stands at %1, %2 ...

  bool empty() const { return code == Says{}; }
};

/// A name, a number as written, or a sentence in another.
struct Argument {
  Argument(std::string words) : text(std::move(words)) {}       // NOLINT(google-explicit-constructor)
  Argument(const char* words) : text(words) {}                  // NOLINT(google-explicit-constructor)
  Argument(Sentence inner) : sentence(std::move(inner)) {}      // NOLINT(google-explicit-constructor)
  Argument(Says code) : Argument(Sentence{code}) {}             // NOLINT(google-explicit-constructor)
  Argument(std::size_t count) : text(std::to_string(count)) {}  // NOLINT(google-explicit-constructor)
  Argument(int count) : text(std::to_string(count)) {}          // NOLINT(google-explicit-constructor)

  std::string text;
  Sentence sentence = {};  ///< Where `text` is empty.
};

/// By code, then by what its arguments say.
bool operator==(const Sentence& a, const Sentence& b);
bool operator<(const Sentence& a, const Sentence& b);

/// Why something is absent.
using Reason = Sentence;

/// The English words of a code, with %1 to %9 for what differs.
std::string_view WordsOf(Says code);

/// Are these the words of a code?
bool HasCode(std::string_view words);

/// The English sentence, filled in.
std::string EnglishOf(const Sentence& sentence);
std::string EnglishOf(const Argument& argument);
std::string EnglishOf(const std::vector<Sentence>& sentences);  ///< One after the other.

/// `words` with `args` at its %1 to %9; where a full stop follows a place, what stands there loses its own.
std::string FilledIn(std::string_view words, const std::vector<std::string>& args);

/// A sentence that has no code: an older file's, or a person's.
Sentence AsSaid(std::string text);

/// The code of a sentence as a file has it; kAsSaid with the sentence where no code has it; kNone for an empty one.
Sentence SentenceFrom(const std::string& english);
std::vector<Sentence> SentencesFrom(const std::string& english);

}  // namespace vision
