#include <gmock/gmock.h>

#include <QImage>
#include <fstream>
#include <regex>

#include "app/words/print.h"
#include "tests/report/support.h"

namespace app::report {
namespace {

using report_test::FreshFolder;
using report_test::MakeInput;
using report_test::PdfText;
using report_test::ReadAll;
using testing::HasSubstr;
using words::Print, words::Typed;
namespace fs = std::filesystem;

const std::string kHash = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef";

/// The record of a joint book on paper.
class RecordReport : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = FreshFolder(std::string("record_") + testing::UnitTest::GetInstance()->current_test_info()->name());
    input_ = MakeInput(folder_);
    RecordStamp stamp;
    stamp.revision = 4;
    stamp.cycle = "R1";
    stamp.hash = kHash;
    stamp.seal = std::string(64, 'e');
    stamp.author = "A. Example";
    stamp.made_at = "2026-03-02T08:00:00Z";
    stamp.reason = "purge log added";
    stamp.signatures.push_back(
        {"examined",
         "C. Examiner",
         "examiner, level 2",
         "2026-03-02T09:00:00Z",
         {{Print::kQualification, {Print::kValidTo, {Typed("VT level 2"), Typed("2027-01-31")}}}},
         "I examined this root.",
         ""});
    stamp.tables.push_back({Print::kPurgeLog, {Print::kTime, Print::kOxygen}, {{Typed("07:00"), Typed("35")}}});
    QImage film(60, 40, QImage::Format_RGB32);
    film.fill(Qt::gray);
    film.save(QString::fromStdString((folder_ / "film.png").string()));
    stamp.pictures.push_back({folder_ / "film.png", words::Text(Print::kFilm, {Typed("film.png")})});
    input_.stamp = stamp;
  }

  void Write() {
    auto files = WriteReport(input_, folder_ / "out");
    ASSERT_TRUE(files.ok()) << files.error().message;
    files_ = files.value();
    html_ = report_test::HtmlText(ReadAll(files_.html));
    pdf_ = PdfText(files_.pdf);
  }

  fs::path folder_;
  ReportInput input_;
  ReportFiles files_;
  std::string html_;
  std::optional<std::string> pdf_;
};

TEST_F(RecordReport, NamesJointAndRevisionOnEveryPage) {
  Write();
  if (!pdf_) GTEST_SKIP() << "pdftotext (Debian package poppler-utils) is not installed";
  int named = 0;
  const std::string wanted = "Joint FB-112 / root, R1, revision 4";
  for (auto at = pdf_->find(wanted); at != std::string::npos; at = pdf_->find(wanted, at + 1)) ++named;
  EXPECT_EQ(named, files_.pages);
}

TEST_F(RecordReport, TheCodeOnThePageReadsBackAsTheRecordsHash) {
  Write();
  const std::string page = (folder_ / "page").string();
  const auto made = report_test::RunTool(
      "pdftoppm", "-r 150 -png -f 1 -l 1 -singlefile '" + files_.pdf.string() + "' '" + page + "'");
  const auto read = report_test::RunTool("zbarimg", "-q --nodbus --raw -Sdisable -Sqrcode.enable '" + page + ".png'");
  if (!made || !read)
    GTEST_SKIP() << "pdftoppm or zbarimg (Debian packages poppler-utils, zbar-tools) is not installed";
  EXPECT_EQ(*read, "rootscroll joint FB-112 / root R1 revision 4 sha256 " + kHash + "\n");
  EXPECT_THAT(*pdf_, HasSubstr(kHash.substr(0, 32)));
  EXPECT_THAT(*pdf_, HasSubstr(kHash.substr(32)));
}

TEST_F(RecordReport, SaysWhoSignedAndThatAChangedRecordIsBroken) {
  Write();
  for (const char* text : {"examined by C. Examiner, examiner, level 2", "valid to 2027-01-31", "I examined this root.",
                           "Purge log", "radiographic film: film.png"}) {
    EXPECT_THAT(html_, HasSubstr(text));
    if (pdf_) {
      EXPECT_THAT(*pdf_, HasSubstr(text));
    }
  }
  EXPECT_THAT(html_, testing::Not(HasSubstr("BROKEN")));
  input_.stamp->signatures[0].fault = "the revision was changed after it was signed";
  input_.stamp->fault = "This revision is no longer what was saved.";
  Write();
  EXPECT_THAT(html_, HasSubstr("SIGNATURE BROKEN: C. Examiner"));
  EXPECT_THAT(html_, HasSubstr("RECORD BROKEN"));
  input_.stamp->signatures.clear();
  Write();
  EXPECT_THAT(html_, HasSubstr("This revision is NOT signed."));
}

TEST_F(RecordReport, FontsAreEmbeddedAndTheFileSaysWhatItIs) {
  Write();
  const auto fonts = report_test::RunTool("pdffonts", "'" + files_.pdf.string() + "'");
  if (!fonts) GTEST_SKIP() << "pdffonts (Debian package poppler-utils) is not installed";
  EXPECT_TRUE(std::regex_search(*fonts, std::regex("Identity-H +yes")));
  EXPECT_FALSE(std::regex_search(*fonts, std::regex("Identity-H +no"))) << *fonts;
  const auto info = report_test::RunTool("pdfinfo", "'" + files_.pdf.string() + "'");
  EXPECT_THAT(*info, HasSubstr("Joint FB-112 / root, R1, revision 4"));
  EXPECT_THAT(ReadAll(files_.pdf), HasSubstr("pdfaid"));  // XMP of ISO 19005-1
}

TEST_F(RecordReport, ACompanyPutsItsOwnPaperOnIt) {
  QImage logo(90, 30, QImage::Format_RGB32);
  logo.fill(QColor(20, 90, 60));
  logo.save(QString::fromStdString((folder_ / "logo.png").string()));
  std::ofstream(folder_ / "paper.json") << R"({"format": "rootscroll.paper/1", "company": "Example Pipe Works",
    "header": "Form 12, issue C", "logo": "logo.png", "texts": [{"heading": "House rule", "text": "Two people look."}],
    "wording": {"Coverage": "Erfasst", "Cautions": "Warnungen", "quantity": "Größe"}})";
  auto paper = LoadPaper(folder_ / "paper.json");
  ASSERT_TRUE(paper.ok()) << paper.error().message;
  input_.paper = paper.value();
  Write();
  for (const char* text :
       {"Example Pipe Works", "Form 12, issue C", "House rule", "Two people look.", "Erfasst", "Warnungen", "Größe"}) {
    EXPECT_THAT(html_, HasSubstr(text));
    if (pdf_) {
      EXPECT_THAT(*pdf_, HasSubstr(text));
    }
  }
  // Nothing a company words may take the standing sentence away where it was not asked to.
  EXPECT_THAT(html_, HasSubstr("supports and never replaces"));
  std::ofstream(folder_ / "wrong.json") << R"({"format": "rootscroll.paper/1", "colour": "red"})";
  EXPECT_THAT(LoadPaper(folder_ / "wrong.json").error().message, HasSubstr("colour is not a key"));
  std::ofstream(folder_ / "lost.json") << R"({"format": "rootscroll.paper/1", "logo": "nowhere.png"})";
  EXPECT_THAT(LoadPaper(folder_ / "lost.json").error().message, HasSubstr("nowhere.png"));
}

TEST_F(RecordReport, ASecondLanguageLeavesNoHeadingOfTheFirst) {
  Write();
  auto paper = LoadPaper(ROOTSCROLL_SOURCE_DIR "/fixtures/paper/paper_de.json");
  ASSERT_TRUE(paper.ok()) << paper.error().message;
  input_.paper = paper.value();
  const std::string english = ReadAll(files_.html);
  Write();
  const std::string german = ReadAll(files_.html);
  const std::regex heading("<h[12]>([^<]*)</h[12]>");
  int headings = 0;
  for (std::sregex_iterator at(english.begin(), english.end(), heading), end; at != end; ++at, ++headings)
    EXPECT_THAT(german, testing::Not(HasSubstr(at->str()))) << "stays English";
  EXPECT_GT(headings, 10);
  EXPECT_THAT(html_, HasSubstr("befähigten Prüfer"));
  EXPECT_THAT(html_, HasSubstr("NICHT GEPRÜFT"));
}

}  // namespace
}  // namespace app::report
