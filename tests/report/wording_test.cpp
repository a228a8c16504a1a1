#include "app/report/wording.h"

#include <gmock/gmock.h>

#include <cctype>
#include <nlohmann/json.hpp>
#include <set>

#include "app/joint/criteria.h"
#include "app/report/cautions.h"
#include "app/report/report.h"
#include "tests/report/support.h"
#include "vision/recording/frame_source.h"

namespace app::report {
namespace {

using report_test::FreshFolder;
using report_test::HtmlText;
using report_test::MakeInput;
using report_test::ReadAll;
using testing::HasSubstr;
using testing::Not;

std::string Es(const char* text) { return Wording::In("es")(QString(text)).toStdString(); }

TEST(Wording, PutsNumbersNamesAndNestedReasonsWhereTheyBelong) {
  EXPECT_EQ(Es("Seen at 163.5 degrees, none is permitted; confidence 0.70."),
            "Visto en 163.5 grados, no se permite ninguno; confianza 0.70.");
  EXPECT_EQ(Es("root reinforcement over the line joining the toes: not measurable from this recording: single view: "
               "height not "
               "measurable from this recording."),
            "sobreespesor de raíz sobre la línea que une los pies: no medible en esta grabación: vista única: "
            "altura no medible en esta grabación.");
  EXPECT_EQ(
      Es("root reinforcement over the line joining the toes: not measurable from this recording: not earned by the "
         "camera's "
         "travel: on scenes with truth every way tried left more than 0.4 mm; give a recording with a plane of light "
         "on."),
      "sobreespesor de raíz sobre la línea que une los pies: no medible en esta grabación: el avance de la cámara no "
      "basta: en escenas con verdad todo lo probado dejó más de 0.4 mm; dé una grabación con un plano de luz.");
  EXPECT_EQ(Es("class 3 (AWS A5.30), as-laid width 4.20 ± 0.10 mm"),
            "clase 3 (AWS A5.30), ancho al colocarlo 4.20 ± 0.10 mm");
  EXPECT_EQ(Es("6.21 ± 0.30 mm"), "6.21 ± 0.30 mm");
}

TEST(Wording, WhatHasNoOtherWordsStaysAndIsListed) {
  QStringList misses;
  EXPECT_EQ(Wording::In("es")("No one wrote this sentence. Cautions", &misses),
            QString("No one wrote this sentence. Precauciones"));
  EXPECT_EQ(misses, QStringList("No one wrote this sentence."));
  Wording kept = Wording::In("es");
  kept.Keep({"Cautions"});
  EXPECT_EQ(kept("Cautions").toStdString(), "Cautions") << "a joint of this name";
}

TEST(Wording, EveryPlaceOfASentenceIsInItsOtherWordsOnce) {
  const auto file = nlohmann::json::parse(ReadAll(ROOTSCROLL_SOURCE_DIR "/app/report/wording_es.json"));
  EXPECT_GT(file.size(), 400u);
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

/// Every title, reason and how-known of every shipped set has its words.
TEST(Wording, TheShippedCriteriaHaveTheirWords) {
  QStringList misses;
  const Wording spanish = Wording::In("es");
  for (const std::string& name : joint::ShippedCriteria()) {
    const auto set = joint::LoadCriteria(name, {});
    ASSERT_TRUE(set.ok()) << name;
    for (const auto& rule : set.value().rules)
      for (const std::string* text : {&rule.title, &rule.reason, &rule.how_known})
        (void)spanish(QString::fromStdString(*text), &misses);
  }
  for (const QString& caution : StandingCautions()) (void)spanish(caution, &misses);
  EXPECT_EQ(misses.join("\n").toStdString(), "");
}

TEST(Wording, ARecordInSpanishLeavesNothingInEnglish) {
  auto input = MakeInput(FreshFolder("spanish"));
  input.paper.language = "es";
  // What the sample's own reading and rules say in words of its own stays; everything of the program is in Spanish.
  const auto files = WriteReport(input, FreshFolder("spanish_out"));
  ASSERT_TRUE(files.ok()) << files.error().message;
  std::set<std::string> own;
  for (const auto& why : input.reading.why) own.insert(vision::EnglishOf(why.reason));
  for (const auto& finding : input.verdict.findings)
    own.insert(EnglishOf(finding.reason)), own.insert(finding.title), own.insert(finding.how_known),
        own.insert(finding.datum);
  for (const auto& flag : input.reading.flags) own.insert(EnglishOf(flag.text));
  for (const auto& note : input.reading.notes) own.insert(EnglishOf(note));
  for (std::string text : files.value().in_english) {
    if (text.ends_with('.')) text.pop_back();
    const bool from_sample = std::any_of(own.begin(), own.end(), [&](const std::string& said) {
      return said.find(text) != std::string::npos || text.find(said.substr(0, said.size() - 1)) != std::string::npos;
    });
    EXPECT_TRUE(from_sample) << text;
  }
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
