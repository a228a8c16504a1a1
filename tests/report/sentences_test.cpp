#include <gtest/gtest.h>

#include <algorithm>
#include <cctype>
#include <set>

#include "app/report/wording.h"
#include "app/words/print.h"
#include "vision/base/says.h"

/// Every sentence of reading, verdict and change page: its code, what differs in it, its words in both languages.
namespace app::report {
namespace {

using vision::Argument, vision::Says, vision::Sentence;

/// What files hold; kBesides and kBelow only put sentences of a record beside each other.
constexpr int kFirst = static_cast<int>(Says::kAsSaid) + 1, kEnd = static_cast<int>(Says::kBesides);

/// The sentence with a number at each of its places that no other text holds.
Sentence Example(int code) {
  Sentence sentence{static_cast<Says>(code)};
  const std::string words(vision::WordsOf(sentence.code));
  for (char place = '1'; place <= '9'; ++place)
    if (words.find(std::string("%") + place) != std::string::npos)
      sentence.args.emplace_back(std::string("7.3") + place);
  return sentence;
}

bool HasLetters(const std::string& text) {
  return std::count_if(text.begin(), text.end(), [](unsigned char c) { return std::isalpha(c); }) > 3;
}

/// In Spanish; that neither language leaves anything out of it is expected.
std::string SpanishOf(int code, const Text& text, const std::string& in_english) {
  static const Wording spanish = Wording::In("es"), english = Wording::Of({});
  QStringList misses;
  const std::string in_spanish = spanish(text, &misses).toStdString();
  std::printf("  %3d, %zu differ: %s | %s\n", code, text.args.size(), in_english.c_str(), in_spanish.c_str());
  EXPECT_TRUE(misses.isEmpty()) << in_english;
  EXPECT_EQ(english(text).toStdString(), in_english);
  for (const auto& arg : text.args) EXPECT_NE(in_spanish.find(arg.as_is), std::string::npos) << in_spanish;
  return in_spanish;
}

TEST(Sentences, EachCodeHasItsOwnWordsInEnglishAndSpanish) {
  std::set<std::string> all;
  for (int code = kFirst; code < vision::kSentences; ++code) {
    const Sentence sentence = Example(code);
    const std::string in_english = vision::EnglishOf(sentence), in_spanish = SpanishOf(code, sentence, in_english);
    if (!HasLetters(std::string(vision::WordsOf(sentence.code)))) continue;
    EXPECT_NE(in_english, in_spanish);
    EXPECT_TRUE(all.insert(in_english).second) << "said by two codes: " << in_english;
  }
}

/// The code with a number at each of its places.
Text Example(words::Print code) {
  Text text = code;
  for (char place = '1'; text.words.find(std::string("%") + place) != std::string_view::npos; ++place)
    text.args.push_back(words::Typed(std::string("7.3") + place));
  return text;
}

/// What pages say of themselves: its code, what differs in it, its words in both languages; none is without Spanish,
/// none says what another says, and none leaves a place out.
TEST(Sentences, EachCodeOfAPageHasItsOwnWordsInEnglishAndSpanish) {
  std::set<std::string> all;
  for (int code = 0; code < words::kPrints; ++code) {
    const Text text = Example(static_cast<words::Print>(code));
    const std::string in_english = words::EnglishOf(text);
    SpanishOf(code, text, in_english);
    EXPECT_EQ(in_english.find('%' + std::string(1, static_cast<char>('1' + text.args.size()))), std::string::npos);
    EXPECT_TRUE(all.insert(in_english).second) << "said by two codes: " << in_english;
    if (!HasLetters(std::string(text.words))) continue;
    EXPECT_FALSE(vision::HasCode(text.words)) << "a reading says it: " << in_english;
  }
}

/// A file keeps the English sentence; its words give the same code with the same arguments.
TEST(Sentences, ASentenceOfAFileIsItsCodeAgain) {
  for (int code = kFirst; code < kEnd; ++code) {
    const Sentence sentence = Example(code);
    if (!HasLetters(std::string(vision::WordsOf(sentence.code)))) continue;  // believed only round another sentence
    EXPECT_EQ(vision::SentenceFrom(vision::EnglishOf(sentence)), sentence) << vision::EnglishOf(sentence);
  }
  EXPECT_EQ(vision::SentenceFrom("this edge lies behind the bead in this view; look from the other side").code,
            Says::kEdgeBehindBead)
      << "an earlier program's words";
  EXPECT_EQ(vision::SentenceFrom("by hand").code, Says::kAsSaid);
  EXPECT_EQ(vision::SentenceFrom("covered").code, Says::kAsSaid) << "the beginning of a sentence is not the sentence";
}

/// Sentences in each other keep their codes, and the full stop of the inner one stands once.
TEST(Sentences, OneInAnotherIsFoundAgain) {
  const Sentence refused{Says::kShotRefused, {3, Sentence{Says::kRefused, {"a: b.png", Says::kNoRingLikeAWeld}}}};
  EXPECT_EQ(vision::EnglishOf(refused),
            "shot 3 was refused: a: b.png was refused: no weld found: no ring around the bore rises and falls as a "
            "weld does.");
  const Sentence again = vision::SentenceFrom(vision::EnglishOf(refused));
  ASSERT_EQ(again.code, Says::kShotRefused);
  ASSERT_EQ(again.args.at(1).sentence.code, Says::kRefused);
  EXPECT_EQ(again.args[1].sentence.args.at(0).text, "a: b.png");
  EXPECT_EQ(again.args[1].sentence.args.at(1).sentence.code, Says::kNoRingLikeAWeld);

  const Sentence one_by_one{Says::kOneByOne, {"root", Says::kPosesUnsettled}};
  EXPECT_EQ(vision::EnglishOf(one_by_one),
            "The frames of recording root were read one by one, not solved together: the poses of the run-in do not "
            "settle together.");
  EXPECT_EQ(vision::SentenceFrom(vision::EnglishOf(one_by_one)).args.at(1).sentence.code, Says::kPosesUnsettled);
  EXPECT_EQ(Wording::In("es")(Text(one_by_one)).toStdString(),
            "Los fotogramas de la grabación root se leyeron uno a uno, no resueltos en conjunto: las posiciones del "
            "acercamiento no convergen en conjunto.");
}

/// A verdict keeps what it found as one text.
TEST(Sentences, OneAfterTheOtherAreFoundAgain) {
  const std::vector<Sentence> said{
      {Says::kWorst, {"12.0", "0.40 mm +/- 0.10 mm (k = 2)", "0.500"}},
      {Says::kSearchedInPart,
       {Sentence{Says::kAtToeA, {"undercut"}}, Sentence{Says::kOfTheRingDownTo, {"300", "length", "0.90"}},
        Says::kPictureTooCoarse}},
      {Says::kMeasuredInPart, {"300.0", Says::kSingleView}}};
  const auto again = vision::SentencesFrom(vision::EnglishOf(said));
  ASSERT_EQ(again.size(), said.size());
  for (std::size_t i = 0; i < said.size(); ++i) EXPECT_EQ(again[i], said[i]) << vision::EnglishOf(again[i]);
  EXPECT_EQ(again[1].args.at(2).sentence.code, Says::kPictureTooCoarse);
  const auto typed = vision::SentencesFrom("Nobody coded this. Does not apply to this wall and diameter.");
  ASSERT_EQ(typed.size(), 2u);
  EXPECT_EQ(typed[0].code, Says::kAsSaid);
  EXPECT_EQ(typed[1].code, Says::kDoesNotApply);
}

/// A text made to be matched at many places is looked at no longer than others (bounded by the test's time limit).
TEST(Sentences, AHostileTextIsGivenUpSoon) {
  std::string text;
  for (int i = 0; i < 400; ++i) text += "a: b was refused: c; d. ";
  EXPECT_FALSE(vision::SentenceFrom(text).empty());
}

TEST(Sentences, WhatNoCodeSaysStaysAndIsListed) {
  QStringList misses;
  EXPECT_EQ(Wording::In("es")(vision::AsSaid("No one wrote this sentence"), &misses).toStdString(),
            "No one wrote this sentence");
  EXPECT_EQ(misses.size(), 1);
}

}  // namespace
}  // namespace app::report
