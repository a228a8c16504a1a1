#include <gtest/gtest.h>

#include <set>

#include "app/report/wording.h"
#include "vision/base/says.h"

/// Every reason that a number can be absent for: its code, what differs in it, its words in both languages.
namespace app::report {
namespace {

using vision::Reason;
using vision::Says;

/// The reason with a number at each place of its sentence that no other text holds.
Reason Example(int code) {
  Reason reason{static_cast<Says>(code)};
  const std::string sentence(vision::WordsOf(reason.code));
  for (char place = '1'; place <= '9'; ++place)
    if (sentence.find(std::string("%") + place) != std::string::npos) reason.args.push_back(std::string("7.3") + place);
  return reason;
}

TEST(Reasons, EachCodeHasItsOwnWordsInEnglishAndSpanish) {
  const Wording spanish = Wording::In("es"), english = Wording::Of({});
  std::set<std::string> all;
  for (int code = static_cast<int>(Says::kAsSaid) + 1; code < vision::kSentences; ++code) {
    const Reason reason = Example(code);
    const std::string in_english = vision::EnglishOf(reason);
    QStringList misses;
    const std::string in_spanish = spanish(reason, &misses).toStdString();
    std::printf("  %2d, %zu differs: %s | %s\n", code, reason.args.size(), in_english.c_str(), in_spanish.c_str());
    EXPECT_GT(in_english.size(), 10u) << code;
    EXPECT_TRUE(misses.isEmpty()) << in_english;
    EXPECT_NE(in_english, in_spanish);
    EXPECT_EQ(english(reason).toStdString(), in_english);
    for (const std::string& said : {in_english, in_spanish}) {
      EXPECT_TRUE(all.insert(said).second) << "said by two codes: " << said;
      EXPECT_EQ(said.find('%'), said.find("100 %")) << said;
      for (const auto& arg : reason.args) EXPECT_NE(said.find(arg.text), std::string::npos) << said;
    }
  }
}

/// A reading keeps the English sentence; an older one's words give the same code.
TEST(Reasons, ASentenceOfAFileIsItsCodeAgain) {
  for (int code = 0; code < vision::kSentences; ++code) {
    const Reason reason = code == static_cast<int>(Says::kAsSaid) ? Reason{Says::kAsSaid, {"by hand"}} : Example(code);
    EXPECT_EQ(vision::SentenceFrom(vision::EnglishOf(reason)), reason) << vision::EnglishOf(reason);
  }
  EXPECT_EQ(vision::SentenceFrom("covered").code, Says::kAsSaid) << "the beginning of a sentence is not the sentence";
}

TEST(Reasons, WhatNoCodeSaysStaysAndIsListed) {
  QStringList misses;
  EXPECT_EQ(Wording::In("es")(Reason{Says::kAsSaid, {"No one wrote this sentence"}}, &misses).toStdString(),
            "No one wrote this sentence");
  EXPECT_EQ(misses.size(), 1);
}

}  // namespace
}  // namespace app::report
