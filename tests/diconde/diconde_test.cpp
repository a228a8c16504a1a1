#include "app/diconde/diconde.h"

#include <dcmtk/config/osconfig.h>
#include <dcmtk/dcmdata/dctk.h>
#include <gmock/gmock.h>
#include <unistd.h>

#include <cmath>
#include <cstdio>
#include <fstream>
#include <opencv2/imgcodecs.hpp>
#include <optional>

#include "vision/bore/angle.h"

namespace app::diconde {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;

/// Both outputs of a command; nullopt when the program is not installed.
std::optional<std::string> Tool(const std::string& tool, const std::string& arguments) {
  if (std::system(("command -v " + tool + " >/dev/null 2>&1").c_str()) != 0) return std::nullopt;
  std::FILE* pipe = ::popen((tool + " " + arguments + " 2>&1").c_str(), "r");
  std::string text;
  char piece[4096];
  while (const std::size_t count = std::fread(piece, 1, sizeof piece, pipe)) text.append(piece, count);
  ::pclose(pipe);
  return text;
}

class DicondeTest : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("rootscroll_diconde_" + std::to_string(::getpid()));
    fs::remove_all(folder_);
    fs::create_directories(folder_);
    auto joint = app::joint::LoadJoint(ROOTSCROLL_SOURCE_DIR "/fixtures/demo/joint.json");
    ASSERT_TRUE(joint.ok()) << joint.error().message;
    input_.joint = joint.value();
    input_.reading_folder = folder_;
    input_.record_hash = std::string(64, 'a');
    input_.examined_on = "2026-03-02";
    input_.inspector = "C. Examiner";
    input_.settings = "rootscroll, pitch_mm 0.25";
    strip_ = cv::Mat3b(41, 601);
    for (int y = 0; y < strip_.rows; ++y)
      for (int x = 0; x < strip_.cols; ++x)
        strip_(y, x) = cv::Vec3b(cv::saturate_cast<uchar>(x % 256), cv::saturate_cast<uchar>(5 * y), 77);
    cv::imwrite((folder_ / "strip.png").string(), strip_);
    cv::imwrite((folder_ / "seen.png").string(), cv::Mat1b(41, 601, uchar{255}));
    cv::imwrite((folder_ / "frame.png").string(), cv::Mat3b(33, 45, cv::Vec3b(1, 2, 3)));
    input_.frames = {{ROOTSCROLL_SOURCE_DIR "/fixtures/demo/from_a.jpg", "from_a.jpg"},
                     {folder_ / "frame.png", "b.png"}};
    auto& reading = input_.reading;
    reading.bore_radius_mm = 77.1;
    reading.calibrated = true;
    reading.strip = {};
    reading.strip.file = "strip.png";
    reading.strip.mask_file = "seen.png";
    reading.strip.columns = 601;
    reading.strip.rows = 41;
    reading.strip.theta_pitch_deg = 360.0 / 601;
    reading.strip.pitch_mm = 0.25;
    reading.strip.z_from_mm = -5;
    reading.profile.Resize(720);
    reading.profile.left_toe_z_mm.assign(720, -2.5);
    vision::reading::UnfusedRun run;
    run.start_deg = 207.5, run.end_deg = 237, run.side = "left", run.arc_mm = 39.697, run.arc_u_mm = 0.4;
    reading.unfused = {run};
    auto written = Write(input_, folder_ / "out");
    ASSERT_TRUE(written.ok()) << written.error().message;
    written_ = written.value();
  }
  void TearDown() override { fs::remove_all(folder_); }

  fs::path folder_;
  Input input_;
  cv::Mat3b strip_;
  Written written_;
};

TEST_F(DicondeTest, AnotherProgramsVerifierFindsNoError) {
  for (const auto& file : {written_.frames[0], written_.frames[1], written_.strip}) {
    const auto said = Tool("dciodvfy", "'" + file.string() + "'");
    if (!said) GTEST_SKIP() << "dciodvfy (Debian package dicom3tools) is not installed";
    EXPECT_THAT(*said, testing::Not(HasSubstr("Error"))) << file << "\n" << *said;
    EXPECT_THAT(*said, HasSubstr(file == written_.strip ? "MultiframeTrueColorSCImage" : "VLPhotographicImage"));
  }
}

TEST_F(DicondeTest, AnotherProgramsDumpNamesTheComponentsPrivateBlocks) {
  // DCMTK's diconde.dic names elements of a private block only where the block's creator is right.
  const auto said = Tool("env",
                         "DCMDICTPATH=/usr/share/libdcmtk17/dicom.dic:/usr/share/libdcmtk17/diconde.dic dcmdump "
                         "+L '" +
                             written_.strip.string() + "'");
  if (Tool("dcmdump", "--version") == std::nullopt || !fs::exists("/usr/share/libdcmtk17/diconde.dic"))
    GTEST_SKIP() << "dcmdump (Debian package dcmtk) is not installed";
  for (const char* name : {"ComponentRefSystem", "InnerDiameter", "MaterialGrade", "EvaluatorSequence",
                           "IndicationSequence", "IndicationROIContourData", "PropertyValue", "ComponentIDNumber"})
    EXPECT_THAT(said.value_or(""), HasSubstr(name));
  EXPECT_THAT(said.value_or(""), testing::Not(HasSubstr("Unknown Tag")));
}

TEST_F(DicondeTest, ReadsBackToTheSameNumbers) {
  DcmFileFormat file;
  ASSERT_TRUE(file.loadFile(written_.strip.c_str()).good());
  DcmDataset& data = *file.getDataset();
  Float64 row = 0, column = 0;
  ASSERT_TRUE(data.findAndGetFloat64(DCM_PixelSpacing, row, 0).good());
  ASSERT_TRUE(data.findAndGetFloat64(DCM_PixelSpacing, column, 1).good());
  EXPECT_NEAR(row, 0.25, 1e-12);
  EXPECT_NEAR(column * 601, 2 * M_PI * 77.1, 1e-6);  // all columns make the circumference
  OFString text;
  data.findAndGetOFString(DCM_PixelSpacingCalibrationType, text);
  EXPECT_EQ(text, "GEOMETRY");
  data.findAndGetOFStringArray(DCM_ImageType, text);
  EXPECT_EQ(text, "DERIVED\\SECONDARY");
  data.findAndGetOFString(DCM_PatientID, text);
  EXPECT_EQ(text, "LX-114");
  DcmItem *evaluator = nullptr, *indication = nullptr, *region = nullptr;
  ASSERT_TRUE(data.findAndGetSequenceItem(DcmTagKey(0x0021, 0x1002), evaluator).good());
  ASSERT_TRUE(evaluator->findAndGetSequenceItem(DcmTagKey(0x0021, 0x1012), indication).good());
  ASSERT_TRUE(indication->findAndGetSequenceItem(DcmTagKey(0x0021, 0x101E), region).good());
  const double wanted[] = {207.5 * M_PI / 180 * 77.1, -2.5, 0, 237 * M_PI / 180 * 77.1, -2.5, 0};
  for (unsigned long i = 0; i < 6; ++i) {
    ASSERT_TRUE(region->findAndGetOFString(DcmTagKey(0x0021, 0x1024), text, i).good());
    EXPECT_NEAR(std::stod(text.c_str()), wanted[i], 1e-4) << i;
  }
  std::vector<double> properties;
  for (long i = 0; i < 4; ++i) {
    DcmItem* property = nullptr;
    ASSERT_TRUE(indication->findAndGetSequenceItem(DcmTagKey(0x0021, 0x1030), property, i).good());
    property->findAndGetOFString(DcmTagKey(0x0021, 0x1034), text);
    properties.push_back(std::stod(text.c_str()));
  }
  EXPECT_THAT(properties, testing::ElementsAre(207.5, 237, 39.697, 0.4));
}

TEST_F(DicondeTest, PixelsAreThoseOfThePictures) {
  DcmFileFormat file;
  ASSERT_TRUE(file.loadFile(written_.strip.c_str()).good());
  const Uint8* pixels = nullptr;
  unsigned long count = 0;
  ASSERT_TRUE(file.getDataset()->findAndGetUint8Array(DCM_PixelData, pixels, &count).good());
  ASSERT_GE(count, 2u * 41 * 601 * 3);
  int wrong = 0;
  for (int y = 0; y < 41; ++y)
    for (int x = 0; x < 601; ++x)
      for (int c = 0; c < 3; ++c) wrong += pixels[(y * 601 + x) * 3 + c] != strip_(y, x)[2 - c];
  EXPECT_EQ(wrong, 0);
  EXPECT_EQ(pixels[41 * 601 * 3], 255);  // page 2: seen
}

TEST_F(DicondeTest, APerspectiveFrameHasNoSpacingAndAJpegStaysLossy) {
  DcmFileFormat jpeg, png;
  ASSERT_TRUE(jpeg.loadFile(written_.frames[0].c_str()).good());
  ASSERT_TRUE(png.loadFile(written_.frames[1].c_str()).good());
  for (auto* file : {&jpeg, &png}) EXPECT_FALSE(file->getDataset()->tagExists(DCM_PixelSpacing));
  OFString text;
  jpeg.getDataset()->findAndGetOFString(DCM_LossyImageCompression, text);
  EXPECT_EQ(text, "01");
  png.getDataset()->findAndGetOFString(DCM_LossyImageCompression, text);
  EXPECT_EQ(text, "00");
  jpeg.getDataset()->findAndGetOFStringArray(DCM_ImageType, text);
  EXPECT_EQ(text, "ORIGINAL\\PRIMARY");
}

TEST_F(DicondeTest, NothingClaimsAVisualPractice) {
  DcmFileFormat file;
  ASSERT_TRUE(file.loadFile(written_.strip.c_str()).good());
  OFString text;
  file.getDataset()->findAndGetOFStringArray(DCM_PatientComments, text);
  EXPECT_THAT(text.c_str(), HasSubstr("no conformance to a practice for visual testing is claimed"));
}

TEST_F(DicondeTest, NoTextOfAnyLengthBreaksTheLengthOfAValue) {
  // DICOM PS3.5, 6.2: PN and LO 64 characters, SH 16, ST 1024. The verifier is another program's.
  for (const std::string& text :
       {std::string(99, 'x'), std::string(5000, 'y'), "A\\B^C=D\x1b[2K" + std::string(90, 'z'),
        "Ren\xc3\xa9" + std::string(70, 'e') + "\xc3\xa9"}) {
    Input input = input_;
    input.inspector = input.owner = input.settings = text;
    input.joint.id = input.joint.material = input.joint.a.name = text;
    const auto written = Write(input, folder_ / "long");
    ASSERT_TRUE(written.ok()) << written.error().message;
    DcmFileFormat file;
    ASSERT_TRUE(file.loadFile(written.value().strip.c_str()).good());
    OFString name;
    ASSERT_TRUE(file.getDataset()->findAndGetOFString(DCM_PatientName, name).good());
    EXPECT_LE(name.size(), 64u);
    EXPECT_EQ(name.find('\x1b'), OFString_npos);
    const auto said = Tool("dciodvfy", written.value().strip.string());
    if (!said) GTEST_SKIP() << "dicom3tools is not installed";
    for (std::size_t at = 0, end = 0; at < said->size(); at = end + 1) {
      end = std::min(said->find('\n', at), said->size());
      const std::string line = said->substr(at, end - at);
      EXPECT_FALSE(line.starts_with("Error") && line.find("ength") != std::string::npos) << line;
    }
  }
}

TEST(Uid, IsAUuidUnder225AndStable) {
  const std::string uid = UidFrom("x");
  EXPECT_EQ(uid, UidFrom("x"));
  EXPECT_NE(uid, UidFrom("y"));
  EXPECT_THAT(uid, testing::StartsWith("2.25."));
  EXPECT_LE(uid.size(), 64u);
  EXPECT_EQ(uid.find_first_not_of("0123456789."), std::string::npos);
}

}  // namespace
}  // namespace app::diconde
