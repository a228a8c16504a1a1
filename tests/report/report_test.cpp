#include "app/report/report.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <regex>

#include "tests/report/support.h"

namespace app::report {
namespace {

using report_test::FreshFolder;
using report_test::HtmlText;
using report_test::MakeInput;
using report_test::PdfText;
using report_test::ReadAll;
using testing::HasSubstr;
using testing::Not;

class ReportTest : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = FreshFolder(testing::UnitTest::GetInstance()->current_test_info()->name());
    input_ = MakeInput(folder_);
    options_.written_on = "2026-11-25";
  }

  void Write() {
    auto files = WriteReport(input_, folder_ / "out", options_);
    ASSERT_TRUE(files.ok()) << files.error().message;
    files_ = files.value();
    html_ = ReadAll(files_.html);
    text_ = HtmlText(html_);
  }

  std::string ErrorOf() {
    auto files = WriteReport(input_, folder_ / "out", options_);
    return files.ok() ? "no error" : files.error().message;
  }

  /// The words of the page in HTML and, when pdftotext is installed, in the PDF.
  void ExpectBothSay(const std::string& words) {
    EXPECT_THAT(text_, HasSubstr(words));
    const auto pdf = PdfText(files_.pdf);
    if (pdf) {
      EXPECT_THAT(*pdf, HasSubstr(words));
    }
  }

  std::filesystem::path folder_;
  ReportInput input_;
  ReportOptions options_;
  ReportFiles files_;
  std::string html_, text_;
};

TEST_F(ReportTest, HtmlIsOneSelfContainedFile) {
  Write();
  EXPECT_THAT(html_, Not(HasSubstr("http")));
  EXPECT_THAT(html_, Not(HasSubstr("<script")));
  EXPECT_THAT(html_, Not(HasSubstr("<link")));
  EXPECT_THAT(html_, Not(HasSubstr("url(")));
  const std::regex source("src=\"(.{0,22})");
  int pictures = 0;
  for (std::sregex_iterator it(html_.begin(), html_.end(), source), end; it != end; ++it, ++pictures) {
    EXPECT_EQ((*it)[1], "data:image/png;base64,");
  }
  EXPECT_EQ(pictures, 1 + 1 + 1 + 3 + 2 + 1);  // end view, whole ring, ribbon, strip rows, two crops, one pore
}

TEST_F(ReportTest, EveryFindingAppearsWithOutcomeAndReason) {
  Write();
  for (const auto& finding : input_.verdict.findings) {
    EXPECT_THAT(text_, HasSubstr(finding.title));
    EXPECT_THAT(text_, HasSubstr(EnglishOf(finding.reason)));
    EXPECT_THAT(text_, HasSubstr(app::joint::WordsOf(finding.outcome)));
  }
  ExpectBothSay("proposed: not accepted");
  ExpectBothSay("Decided by: Incomplete fusion");
  ExpectBothSay("edition 2026");
}

TEST_F(ReportTest, EveryStandingCautionAppears) {
  Write();
  ExpectBothSay("supports and never replaces the qualified examiner, the contract's code edition and local rules");
  ExpectBothSay("Measurements are indicative unless a valid calibration and a passing gauge study are attached.");
  ExpectBothSay("Acceptance is the decision of the certified examiner under the contract and its code edition.");
  ExpectBothSay("A root not shown, not in focus or not lit is NOT EXAMINED, not acceptable.");
  // 29 CFR 1910.146 (b): hazardous below 19.5 % and above 23.5 %; between them is no leave to enter.
  ExpectBothSay("without the permit, the line isolated and depressurised, ventilation, and a continuous oxygen test");
  ExpectBothSay(
      "Below 19.5 % or above 23.5 % oxygen stay out; a reading between them is not by itself leave to enter.");
  ExpectBothSay("Do not grind by this until the wall is measured");
  EXPECT_THAT(text_, Not(HasSubstr("named above")));
}

TEST_F(ReportTest, CoverageViewAndCalibrationStateAreSaid) {
  Write();
  ExpectBothSay("examined: piece a side 341, piece b side 298 of 360 degrees");
  ExpectBothSay("the wall seen from inside");
  ExpectBothSay("looking along +z");
  ExpectBothSay("NOT CALIBRATED: results are indicative: no scale check in the bore after the recording");
}

TEST_F(ReportTest, EveryUnfusedRunAppearsWithPlaceArcAndPiece) {
  Write();
  EXPECT_THAT(text_,
              HasSubstr("original edge visible, piece a: spool end 1:36 to 1:52 (48.0° to 56.0°) 10.76 ± 0.80 mm, "
                        "confidence 0.93"));
  EXPECT_THAT(text_,
              HasSubstr("original edge visible, piece b: elbow end 11:44 to 12:08 (352.0° to 4.0°) 16.1 ± 1.0 mm, "
                        "confidence 0.81"));
}

TEST_F(ReportTest, AbsentNumbersAreNamedWithTheirReasonAndNeverAsNan) {
  Write();
  ExpectBothSay("not measurable from this recording: single view: height is not measurable");
  const std::regex nan("\\bnan\\b|\\binf\\b", std::regex::icase);
  EXPECT_FALSE(std::regex_search(text_, nan));
  const auto pdf = PdfText(files_.pdf);
  if (pdf) {
    EXPECT_FALSE(std::regex_search(*pdf, nan));
  }
}

TEST_F(ReportTest, AReadingWithoutAnyNumberStillGivesARecord) {
  auto& reading = input_.reading;
  const std::vector<double> none(720, vision::reading::kNotMeasured);
  reading.profile.width_mm = reading.profile.width_u_mm = reading.profile.left_toe_z_mm =
      reading.profile.right_toe_z_mm = none;
  reading.weld_found = false;
  reading.poses.clear();
  reading.unfused.clear();
  reading.strip = {};
  reading.bore_radius_u_mm = vision::reading::kNotMeasured;
  Write();
  ExpectBothSay("No weld was found in this recording.");
  ExpectBothSay("No strip was written with this reading.");
  EXPECT_FALSE(std::regex_search(text_, std::regex("\\bnan\\b", std::regex::icase)));
}

TEST_F(ReportTest, ChangedDataShows) {
  input_.reading.coverage_deg.right = 123;
  input_.reading.unfused[0].start_deg = 90;
  input_.reading.unfused[0].end_deg = 105;
  input_.reading.piece_b = "valve end";
  input_.verdict.findings[3].reason = {vision::SentenceFrom("A reason nobody wrote before.")};
  input_.verdict.disposition = "proposed: not decided";
  Write();
  ExpectBothSay("piece b side 123 of 360");
  ExpectBothSay("3:00 to 3:30 (90.0° to 105.0°)");
  ExpectBothSay("A reason nobody wrote before.");
  ExpectBothSay("proposed: not decided");
  EXPECT_THAT(text_, HasSubstr("piece b: valve end"));
  EXPECT_THAT(text_, Not(HasSubstr("proposed: not accepted")));
}

/// Words of the first page of the PDF; nullopt where pdftotext is not installed.
std::optional<std::string> PageOneText(const std::filesystem::path& pdf) {
  auto text = report_test::RunTool("pdftotext", "-f 1 -l 1 -raw '" + pdf.string() + "' -");
  if (text) std::replace(text->begin(), text->end(), '\n', ' ');  // cells break their lines
  return text;
}

TEST_F(ReportTest, PageOneIsWhatAPersonSigns) {
  input_ = report_test::EveryStatement(folder_);
  for (const std::string language : {"en", "es"})
    for (const Paper paper : {Paper::kA4, Paper::kLetter}) {
      input_.paper.language = language;
      options_.paper = paper;
      Write();
      const auto page = PageOneText(files_.pdf);
      if (!page) GTEST_SKIP() << "pdftotext (Debian package poppler-utils) is not installed";
      const std::vector<std::string> words =
          language == "en"
              ? std::vector<std::string>{"Disposition", "What was found",  "a scratch of the clamp", "Coverage",
                                         "Cautions",    "Inspector: name", "Approver: name"}
              : std::vector<std::string>{"Dictamen",  "Lo hallado",   "a scratch of the clamp",
                                         "Cobertura", "Precauciones", "Inspector: nombre"};
      for (const std::string& each : words) EXPECT_THAT(*page, HasSubstr(each)) << language;
      EXPECT_LE(files_.pages, 7);
    }
}

TEST_F(ReportTest, AClassOfSectionIsListedInTheAnnexWithoutANumberAndWithWhatItIsAgainst) {
  input_ = report_test::EveryStatement(folder_);
  input_.reading.sections = {
      {350, 10, "convex", 0.97, 0.1}, {200, 220, "convex", 0.98, 0.1}, {300, 320, "concave", 0.9, 0.1}};
  Write();
  ExpectBothSay("section by the camera's travel, convex");
  EXPECT_THAT(text_, HasSubstr("40 degrees in 2 arcs"));
  EXPECT_THAT(text_, HasSubstr("no number, confidence more than 0.95; against 0.10 mm"));
  EXPECT_THAT(text_, HasSubstr("no number, confidence 0.90; against 0.10 mm"));
  if (const auto page = PageOneText(files_.pdf)) {
    EXPECT_THAT(*page, Not(HasSubstr("section by the camera")));
  }
}

TEST_F(ReportTest, WhatRepeatsIsSaidOnce) {
  Write();
  const std::string reason = "single view: height is not measurable without travel or a light section";
  const auto at = text_.find("Not measured, and why");
  ASSERT_NE(at, std::string::npos);
  const auto first = text_.find(reason, at);
  EXPECT_NE(first, std::string::npos);
  EXPECT_EQ(text_.find(reason, first + 1), std::string::npos);  // two quantities, one sentence
  // Three rules with one reason: it stands once under the table, and its number in each row.
  EXPECT_THAT(text_, HasSubstr("(1) Single view: height is not measurable without travel or a light section."));
  EXPECT_EQ(text_.find("Single view: height"), text_.rfind("Single view: height"));
}

TEST_F(ReportTest, WhatNobodyEnteredIsSaidToBeUnknown) {
  input_.joint.insert = {};
  input_.joint.datum = {};
  input_.joint.cameras.clear();
  Write();
  ExpectBothSay("class unknown, as-laid width unknown");
  ExpectBothSay("unknown: nobody entered a datum");
  ExpectBothSay("unknown: no lens was entered");
  EXPECT_THAT(text_, Not(HasSubstr("AWS A5.30")));
}

TEST_F(ReportTest, RelativeAnglesNameNoClock) {
  input_.reading.angles = "relative";
  Write();
  EXPECT_THAT(text_, HasSubstr("48.0° to 56.0° relative"));
  EXPECT_FALSE(std::regex_search(text_, std::regex("\\b\\d{1,2}:\\d\\d\\b")));
}

TEST_F(ReportTest, InchesStandBesideMillimetresOnRequest) {
  Write();
  EXPECT_THAT(text_, Not(HasSubstr(" in, ≈")));
  options_.inches = true;
  Write();
  EXPECT_THAT(text_, HasSubstr("limit 1.00 mm (0.039 in, ≈ 3/64 in)"));  // 1 mm = 2.52/64 in
}

TEST_F(ReportTest, PagesAreNumberedNamedAndOfTheAskedSize) {
  for (const auto& [paper, width, height] : {std::tuple{Paper::kA4, 595, 842}, {Paper::kLetter, 612, 792}}) {
    options_.paper = paper;
    Write();
    const auto info = report_test::RunTool("pdfinfo", "'" + files_.pdf.string() + "'");
    if (!info) GTEST_SKIP() << "pdfinfo (Debian package poppler-utils) is not installed";
    EXPECT_THAT(*info, HasSubstr("Pages:           " + std::to_string(files_.pages)));
    std::smatch size;
    ASSERT_TRUE(std::regex_search(*info, size, std::regex("Page size: +([0-9.]+) x ([0-9.]+)")));
    EXPECT_NEAR(std::stod(size[1]), width, 1.5);  // points, ISO 216 and ANSI Y14.1 sizes
    EXPECT_NEAR(std::stod(size[2]), height, 1.5);
    const auto text = PdfText(files_.pdf);
    ASSERT_TRUE(text);
    for (int page = 1; page <= files_.pages; ++page) {
      EXPECT_THAT(*text, HasSubstr("page " + std::to_string(page) + " of " + std::to_string(files_.pages)));
    }
    int named = 0;
    for (auto at = text->find("Joint FB-112 / root"); at != std::string::npos;
         at = text->find("Joint FB-112 / root", at + 1))
      ++named;
    EXPECT_GE(named, files_.pages);
  }
}

TEST_F(ReportTest, FontsAreEmbedded) {
  Write();
  const auto fonts = report_test::RunTool("pdffonts", "'" + files_.pdf.string() + "'");
  if (!fonts) GTEST_SKIP() << "pdffonts (Debian package poppler-utils) is not installed";
  EXPECT_THAT(*fonts, HasSubstr("DejaVuSans"));
  std::istringstream lines(*fonts);
  int count = 0;
  for (std::string line; std::getline(lines, line);) {
    if (line.find("CID") == std::string::npos && line.find("Type") == std::string::npos) continue;
    if (line.starts_with("name")) continue;
    EXPECT_TRUE(std::regex_search(line, std::regex("Identity-H +yes"))) << line;
    ++count;
  }
  EXPECT_GE(count, 1);
}

TEST_F(ReportTest, LongAndForeignJointIdsDoNotBreakThePage) {
  input_.joint.id = "Rohrnaht-Ø168-äöü-漢字-<b>&\"x\"-" + std::string(300, 'W');
  Write();
  EXPECT_THAT(text_, HasSubstr("Rohrnaht-Ø168-äöü-漢字-<b>&\"x\"-WWW"));
  EXPECT_THAT(html_, Not(HasSubstr("<b>&")));
  EXPECT_GE(files_.pages, 4);
}

TEST_F(ReportTest, NamedPicturesMustBeThereAndInTheFolder) {
  input_.reading.strip.file = "gone.png";
  EXPECT_THAT(ErrorOf(), HasSubstr("strip.file names"));
  input_.reading.strip.file = "../strip.png";
  EXPECT_THAT(ErrorOf(), HasSubstr("must name a picture beside reading.json"));
  input_ = MakeInput(folder_);
  input_.reading.unfused[1].picture = "gone.png";
  EXPECT_THAT(ErrorOf(), HasSubstr("unfused[1].picture names"));
}

TEST_F(ReportTest, AnEarlierReportStaysWhenAnythingFails) {
  Write();
  const std::string html = html_, pdf = ReadAll(files_.pdf);
  input_.reading.strip.file = "gone.png";
  EXPECT_NE(ErrorOf(), "no error");
  EXPECT_EQ(ReadAll(files_.html), html);
  EXPECT_EQ(ReadAll(files_.pdf), pdf);
}

TEST_F(ReportTest, BrokenOptionsAndArraysAreNamed) {
  options_.fraction_denominator = 10;
  EXPECT_THAT(ErrorOf(), HasSubstr("fraction_denominator is 10; it must be 64 or 32"));
  options_ = {};
  options_.html_name = "../x.html";
  EXPECT_THAT(ErrorOf(), HasSubstr("html_name must be a plain file name"));
  options_ = {};
  input_.width_limit = WidthLimit{};
  EXPECT_THAT(ErrorOf(), HasSubstr("neither least_mm nor most_mm"));
  input_.width_limit.reset();
  input_.reading.profile.width_mm.pop_back();
  EXPECT_THAT(ErrorOf(), HasSubstr("arrays of different length"));
}

TEST_F(ReportTest, ACancelledJobWritesNothing) {
  std::stop_source stop;
  stop.request_stop();
  auto files = WriteReport(input_, folder_ / "out", options_, vision::JobContext(stop.get_token(), {}));
  EXPECT_TRUE(files.cancelled());
  EXPECT_FALSE(std::filesystem::exists(folder_ / "out"));
}

}  // namespace
}  // namespace app::report
