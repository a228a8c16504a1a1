#include <gmock/gmock.h>

#include <QRegularExpression>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "app/handbook/handbook.h"
#include "tests/recording/temporary_folder.h"

namespace handbook_test {
namespace {

using app::handbook::Chapter;
using app::handbook::Chapters;
using testing::HasSubstr;
namespace fs = std::filesystem;

/// Lines of a chapter that are the same in every language: code, and the shape of headings, tables and pictures.
QStringList ShapeOf(const Chapter& chapter) {
  QStringList shape;
  bool code = false;
  for (const QString& line : chapter.markdown.split('\n')) {
    if (line.startsWith("```")) code = !code;
    if (code)
      shape << line;
    else if (line.startsWith('#'))
      shape << QString("heading %1").arg(line.indexOf(' '));
    else if (line.startsWith("!["))
      shape << line.mid(line.indexOf('('));
    else if (line.startsWith('|'))
      shape << QString("row of %1").arg(line.count('|'));
  }
  return shape;
}

/// Figures of a chapter in order, decimal commas as points: a translation must not change one.
QStringList FiguresOf(const Chapter& chapter) {
  static const QRegularExpression number(R"(\d+(?:[.,]\d+)?)");
  QStringList figures;
  for (const QString& line : chapter.markdown.split('\n')) {
    for (auto match = number.globalMatch(line); match.hasNext();) figures << match.next().captured().replace(',', '.');
  }
  figures.sort();
  return figures;
}

TEST(Handbook, BothLanguagesHaveTheSameChaptersPicturesAndExamples) {
  const auto english = Chapters("en"), spanish = Chapters("es");
  ASSERT_EQ(english.size(), 14u);
  ASSERT_EQ(spanish.size(), english.size());
  for (std::size_t i = 0; i < english.size(); ++i) {
    EXPECT_EQ(spanish[i].name, english[i].name);
    EXPECT_NE(spanish[i].title, english[i].title);
    EXPECT_EQ(ShapeOf(spanish[i]).join("\n").toStdString(), ShapeOf(english[i]).join("\n").toStdString())
        << english[i].name.toStdString();
    EXPECT_EQ(FiguresOf(spanish[i]).join(" ").toStdString(), FiguresOf(english[i]).join(" ").toStdString())
        << english[i].name.toStdString();
  }
}

TEST(Handbook, EveryChapterFileIsInTheReadingOrder) {
  for (const char* language : {"en", "es"}) {
    std::size_t files = 0;
    for (const auto& entry : fs::directory_iterator(fs::path(ROOTSCROLL_SOURCE_DIR "/app/handbook") / language))
      files += entry.path().extension() == ".md";
    EXPECT_EQ(Chapters(language).size(), files) << language;
  }
}

TEST(Handbook, SafetyComesFirstAndSaysThatTheExaminerDecides) {
  EXPECT_EQ(Chapters("en")[0].name, "safety");
  EXPECT_THAT(Chapters("en")[0].markdown.toStdString(), HasSubstr("never replaces the qualified examiner"));
  EXPECT_THAT(Chapters("es")[0].markdown.toStdString(), HasSubstr("nunca sustituye al examinador cualificado"));
}

TEST(Handbook, SearchFindsWhateverCaseAndAccentsAndEveryWordMustBeThere) {
  const auto english = Chapters("en"), spanish = Chapters("es");
  const auto argon = Find(english, "ARGON heavier");
  ASSERT_EQ(argon.size(), 1u);
  EXPECT_EQ(argon[0].heading, "Purged pipe");
  EXPECT_EQ(english[static_cast<std::size_t>(argon[0].chapter)].name, "safety");
  EXPECT_EQ(Find(spanish, "argon").size(), Find(spanish, "argón").size());
  EXPECT_FALSE(Find(spanish, "argon").empty());
  EXPECT_TRUE(Find(english, "argon chessboard").empty());
  EXPECT_TRUE(Find(english, "  ").empty());
}

TEST(Handbook, ASearchForAHeadingComesBeforePlacesThatOnlyMentionIt) {
  const auto english = Chapters("en");
  const auto hits = Find(english, "repair");
  ASSERT_GT(hits.size(), 1u);
  EXPECT_EQ(hits[0].text, "Repair");
}

TEST(Handbook, SketchesAreDrawnInBothLanguagesAndDiffer) {
  for (const char* name : {"section", "strip"}) {
    const QImage english = app::handbook::Sketch(name, "en"), spanish = app::handbook::Sketch(name, "es");
    ASSERT_FALSE(english.isNull());
    EXPECT_NE(english, spanish) << name;
  }
  EXPECT_TRUE(app::handbook::Sketch("none", "en").isNull());
  const auto terms = app::handbook::DocumentOf(Chapters("en")[1], "en");
  EXPECT_FALSE(terms->resource(QTextDocument::ImageResource, QUrl("sketch:section")).isNull());
}

/// Words of the PDF as poppler reads them.
std::string TextOf(const fs::path& pdf) {
  const fs::path text = pdf.string() + ".txt";
  if (std::system(("pdftotext -layout '" + pdf.string() + "' '" + text.string() + "'").c_str()) != 0) return {};
  std::ifstream in(text);
  return {std::istreambuf_iterator<char>(in), {}};
}

class WrittenHandbook : public vision::recording::TemporaryFolder {};

TEST_F(WrittenHandbook, PdfHoldsEveryChapterAndHtmlIsOneFile) {
  for (const char* language : {"en", "es"}) {
    const fs::path pdf = folder_ / (std::string("handbook_") + language + ".pdf");
    const fs::path html = folder_ / (std::string("handbook_") + language + ".html");
    ASSERT_FALSE(app::handbook::WriteHandbook(pdf, language).has_value());
    ASSERT_FALSE(app::handbook::WriteHandbook(html, language).has_value());
    const std::string printed = TextOf(pdf);
    std::ifstream in(html);
    const std::string page{std::istreambuf_iterator<char>(in), {}};
    for (const Chapter& chapter : Chapters(language)) {
      EXPECT_NE(printed.find(chapter.title.toStdString()), std::string::npos) << chapter.title.toStdString();
      EXPECT_NE(page.find("<section id=\"" + chapter.name.toStdString() + "\""), std::string::npos);
    }
    EXPECT_EQ(page.find("sketch:"), std::string::npos);
    EXPECT_FALSE(QString::fromStdString(page).contains(QRegularExpression("src=\"(?!data:)")))
        << "all pictures lie in the file";
  }
}

TEST_F(WrittenHandbook, AnotherEndingIsRefused) {
  const auto failed = app::handbook::WriteHandbook(folder_ / "handbook.doc", "en");
  ASSERT_TRUE(failed.has_value());
  EXPECT_THAT(failed->message, HasSubstr("must end in .pdf or .html"));
}

}  // namespace
}  // namespace handbook_test
