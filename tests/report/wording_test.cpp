#include "app/report/wording.h"

#include <gmock/gmock.h>

#include <cctype>
#include <nlohmann/json.hpp>
#include <set>

#include "app/compare/compare.h"
#include "app/joint/criteria.h"
#include "app/marks/marks.h"
#include "app/notes/kinds.h"
#include "app/repair/remaining_wall.h"
#include "app/report/compose.h"
#include "app/report/report.h"
#include "app/report/text.h"
#include "app/words/print.h"
#include "tests/report/support.h"
#include "vision/base/says.h"
#include "vision/recording/frame_source.h"

namespace app::report {
namespace {

using report_test::FreshFolder;
using report_test::HtmlText;
using report_test::MakeInput;
using report_test::ReadAll;
using testing::HasSubstr;
using testing::Not;
using words::Print, words::Typed;

std::string Es(const Text& text) { return Wording::In("es")(text).toStdString(); }

TEST(Wording, PutsNumbersNamesAndNestedReasonsWhereTheyBelong) {
  EXPECT_EQ(Es(vision::SentenceFrom("Seen at 163.5 degrees, none is permitted; confidence 0.70.")),
            "Visto en 163.5 grados, no se permite ninguno; confianza 0.70.");
  EXPECT_EQ(Es({Print::kNoWidth, {{Print::kNotMeasurableSince, {vision::Says::kSingleView}}}}),
            "Ancho: no medible en esta grabación: vista única: altura no medible en esta grabación.");
  EXPECT_EQ(Es({Print::kThen, {{Print::kClassOf, {Typed("3")}}, {Print::kWidthAsLaid, {Typed("4.20 ± 0.10 mm")}}}}),
            "clase 3 (AWS A5.30), ancho al colocarlo 4.20 ± 0.10 mm");
  EXPECT_EQ(Es(LengthFormat{}.Measured(6.21, 0.15)), "6.21 ± 0.30 mm");
}

TEST(Wording, WhatHasNoOtherWordsStaysAndIsListed) {
  QStringList misses;
  const Wording spanish = Wording::In("es");
  EXPECT_EQ(spanish({Print::kThen, {words::Term("No one listed this term"), Print::kCautions}}, &misses),
            QString("No one listed this term, Precauciones"));
  EXPECT_EQ(misses, QStringList("No one listed this term"));
}

/// A joint called as a word of the page is, wherever its name stands.
TEST(Wording, NamesStayAsTheyAre) {
  EXPECT_EQ(Es(Print::kCautions), "Precauciones");
  EXPECT_EQ(Es(Typed("Cautions")), "Cautions");
  const vision::Sentence named = vision::SentenceFrom("Cautions was refused: no weld found in this recording");
  ASSERT_EQ(named.code, vision::Says::kRefused);
  Wording kept = Wording::In("es");
  kept.Keep({"Cautions"});
  EXPECT_EQ(kept(named).toStdString(), "Cautions se rechazó: no se encontró soldadura en esta grabación");
}

/// A company's words: for a code, with its places; for a whole English text that is no code; and what nothing says is
/// told.
TEST(Wording, ACompanyWordsCodesAndWholeTexts) {
  HousePaper paper;
  paper.wording = {{"edition %1", "Ausgabe %1"}, {"Joint FB-112", "Naht 112"}, {"Coverage", "Umfang"}};
  const Wording house = Wording::Of(paper);
  EXPECT_EQ(house({Print::kEditionOf, {Typed("2026")}}), QString("Ausgabe 2026"));
  EXPECT_EQ(house({vision::Says::kBesides, {Print::kJoint, Typed("FB-112")}}), QString("Naht 112"));
  EXPECT_EQ(house({vision::Says::kBesides, {Print::kJoint, Typed("FB-113")}}), QString("Joint FB-113"));
  EXPECT_EQ(house(Typed("Coverage")), QString("Coverage"));
  EXPECT_TRUE(house.unsaid().isEmpty());
  paper.wording.emplace_back("%1, edition %2", "%1, Ausgabe %2");
  EXPECT_EQ(Wording::Of(paper).unsaid(), QStringList("%1, edition %2")) << "nothing says it, so it has no effect";
}

TEST(Wording, EveryPlaceOfASentenceIsInItsOtherWordsOnce) {
  const auto file = nlohmann::json::parse(ReadAll(ROOTSCROLL_SOURCE_DIR "/app/report/wording_es.json"));
  EXPECT_GT(file.size(), 700u);
  for (const auto& [from, to] : file.items()) {
    const auto places = [](const std::string& text) {
      std::multiset<char> found;
      for (std::size_t i = 0; i + 1 < text.size(); ++i)
        if (text[i] == '%' && std::isdigit(static_cast<unsigned char>(text[i + 1])) != 0) found.insert(text[i + 1]);
      return found;
    };
    EXPECT_EQ(places(from), places(to.get<std::string>())) << from;
  }
}

/// Terms that files and lower rooms keep, each known by the whole of it.
std::set<std::string> Terms() {
  std::set<std::string> terms{"proposed: within",
                              "proposed: not accepted",
                              "proposed: not decided",
                              "Coverage all round",
                              "zone: the weld and 12.7 mm each side (T9074-AS-GIB-010/271, chapter 8)",
                              "more than 0.95",
                              "light section",
                              "travel"};
  for (const std::string& name : joint::ShippedCriteria()) {
    const auto set = joint::LoadCriteria(name, {});
    EXPECT_TRUE(set.ok()) << name;
    for (const auto& rule : set.value().rules) terms.insert({rule.title, rule.reason, rule.how_known});
    terms.insert(set.value().note);
  }
  for (int outcome = 0; outcome <= static_cast<int>(joint::Outcome::kOverruled); ++outcome)
    terms.insert(joint::WordsOf(static_cast<joint::Outcome>(outcome)));
  for (const auto& kind : notes::Kinds()) terms.emplace(kind.name);
  for (const auto status : {notes::Status::kOpen, notes::Status::kAccepted, notes::Status::kRejected})
    terms.insert(notes::NameOf(status));
  for (const auto& mark : marks::LegendOf(marks::kOnPaper)) terms.emplace(mark.words);
  for (const auto answer : {repair::Answer::kGo, repair::Answer::kNoGo, repair::Answer::kTakeReading})
    terms.insert(repair::NameOf(answer));
  // Kinds and numbers of a reading, in sentences of a verdict too.
  terms.insert({"pore", "undercut", "burn through", "burn_through", "crack", "scale", "concave look", "crown height"});
  terms.insert({"concavity", "misalignment", "length", "width", "depth", "diameter", "indications", "heat tint"});
  terms.insert({"original edge visible", "given place", "short unfused arcs", "an unknown number"});
  // What became of an indication; how a slope stands to the plan; kinds of signature and file; why one does not hold.
  terms.insert({"gone", "partly gone", "remains", "not measurable", "steeper", "no steeper", "not decided"});
  terms.insert({"examined", "approved", "original", "derived", compare::DepthRule()});
  terms.insert({"the sign-off is no longer what was stored", "it was signed with a key the book does not know",
                "the key in the book is not the one it was signed with", "the signature is not of this statement",
                "the statement speaks of another revision", "the revision was changed after it was signed"});
  // Of earlier programs.
  terms.insert({"near toe plus half the as-laid insert width", "by hand"});
  terms.erase("");
  return terms;
}

TEST(Wording, EveryTermHasItsWords) {
  const Wording spanish = Wording::In("es");
  for (const std::string& term : Terms()) {
    QStringList misses;
    (void)spanish(words::Term(term), &misses);
    EXPECT_TRUE(misses.isEmpty()) << term;
  }
}

/// What a reading may say to be absent, by the names of its fields.
TEST(Wording, EveryFieldOfAReadingIsCalledByItsWords) {
  const Wording spanish = Wording::In("es");
  for (const char* field :
       {"width_mm", "crown_height_mm", "concavity_mm", "misalignment_mm", "left_toe_z_mm", "right_toe_z_mm",
        "fusion_left", "fusion_right", "heat_tint_left", "heat_tint_right", "indications.depth_mm"}) {
    QStringList misses;
    EXPECT_NE(spanish(PlainName(field), &misses), QString(field));
    EXPECT_TRUE(misses.isEmpty()) << field;
  }
}

/// Nothing has Spanish words that nothing says.
TEST(Wording, EveryWordOfTheFileIsOfACodeOrATerm) {
  const auto terms = Terms();
  const auto file = nlohmann::json::parse(ReadAll(ROOTSCROLL_SOURCE_DIR "/app/report/wording_es.json"));
  for (const auto& [english, spanish] : file.items())
    EXPECT_TRUE(words::IsPrint(english) || vision::HasCode(english) || terms.contains(english)) << english;
}

TEST(Wording, ARecordInSpanishLeavesNothingInEnglish) {
  auto input = MakeInput(FreshFolder("spanish"));
  input.paper.language = "es";
  // What the sample's own reading and rules say in words of its own stays; everything of the program is in Spanish.
  const auto files = WriteReport(input, FreshFolder("spanish_out"));
  ASSERT_TRUE(files.ok()) << files.error().message;
  std::set<std::string> own;
  for (const auto& why : input.reading.why) own.insert(vision::EnglishOf(why.reason));
  for (const auto& finding : input.verdict.findings) {
    for (const auto& reason : finding.reason) own.insert(EnglishOf(reason));
    own.insert({finding.title, finding.how_known, finding.paragraph, finding.datum});
  }
  own.insert(EnglishOf(input.reading.calibration_note));
  for (const auto& flag : input.reading.flags) own.insert(EnglishOf(flag.text));
  for (const auto& note : input.reading.notes) own.insert(EnglishOf(note));
  for (const std::string& text : files.value().in_english) EXPECT_TRUE(own.contains(text)) << text;
  const std::string words = HtmlText(ReadAll(files.value().html));
  EXPECT_THAT(words, HasSubstr("Acta de examen de la pasada de raíz"));
  EXPECT_THAT(words, HasSubstr("FB-112 / root"));
  for (const char* english : {"Cautions", "Disposition", "Examined", "piece a side", "supports and never"})
    EXPECT_THAT(words, Not(HasSubstr(english))) << english;
}

/// As the rooms of vision say them, with numbers and names put in.
TEST(Wording, NotesOfAReadingHaveTheirWords) {
  vision::recording::VideoDamage damage, more;
  damage.frames = {12};
  more.frames = {3, 9}, more.missing = 4;
  const std::vector<std::string> notes{
      "push.avi: " + EnglishOf(damage.Said()),
      "push.avi: " + EnglishOf(more.Said()),
      "Recording root: 2 stills ask to be turned (EXIF orientation 3); they were read as the sensor laid them down.",
      "recording line was left out: heights are read from one recording with a plane of light.",
      "The image's up was not given (up_theta_deg): angles are relative to the picture's up, not to the joint's datum.",
      "Only the first usable frame was measured, since frames of unknown roll cannot be put together.",
      "The poses of 24 frames of recording push were solved together; the wall's drawing agrees to 0.31 px.",
      "a.jpg: too few edges to measure its sharpness; a blur of 1.20 px was assumed.",
      "push.avi: 12 frames were taken between 0:03 and 0:07, 0.4 to 1.1 bore radii before the weld: near, lit and "
      "sharp.",
      "push.avi: no weld was found on the way, so the sharpest frames of equal stretches of the video were taken."};
  Wording spanish = Wording::In("es");
  spanish.Keep({"push.avi", "root", "line", "push", "a.jpg"});  // names stay
  for (const auto& note : notes) {
    QStringList misses;
    const QString said = spanish(vision::SentenceFrom(note), &misses);
    EXPECT_TRUE(misses.isEmpty()) << note << ": " << misses.join(" | ").toStdString();
    EXPECT_NE(said.toStdString(), note);
  }
}

TEST(Wording, ALanguageThatDoesNotShipIsRefused) {
  EXPECT_FALSE(CheckLanguage("es"));
  EXPECT_FALSE(CheckLanguage(""));
  EXPECT_THAT(CheckLanguage("tlh")->message, HasSubstr("one of en, es"));
}

}  // namespace
}  // namespace app::report
