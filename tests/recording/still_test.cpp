#include <gmock/gmock.h>

#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "tests/recording/temporary_folder.h"
#include "vision/recording/frame_source.h"

namespace vision::recording {
namespace {

using testing::HasSubstr;
using std::string_literals::operator""s;

class Still : public TemporaryFolder {};

/// Signature and IHDR as laid down in the PNG specification (ISO/IEC 15948, 5.2 and 11.2.2), no picture behind them.
const std::string kPng20000 =
    "\x89PNG\r\n\x1a\n"
    "\0\0\0\x0dIHDR\0\0\x4e\x20\0\0\x4e\x20\x08\x02\0\0\0"s;  // 0x4e20 = 20000

/// SOI, one comment segment, then a start of frame of 300 lines by 500 samples (ITU-T T.81, B.2.2: lines first).
const std::string kJpeg500x300 =
    "\xff\xd8"
    "\xff\xfe\0\x05\xff\xc0\x01"  // a comment whose text looks like a start of frame
    "\xff\xc2\0\x11\x08\x01\x2c\x01\xf4\x03"s;

TEST_F(Still, PngHeaderByHand) { EXPECT_EQ(SizeFromHeader(kPng20000), cv::Size(20000, 20000)); }

TEST_F(Still, JpegHeaderByHandSkipsOtherSegments) { EXPECT_EQ(SizeFromHeader(kJpeg500x300), cv::Size(500, 300)); }

TEST_F(Still, HeaderOfEncodedPictures) {
  const cv::Mat3b picture(37, 101, cv::Vec3b(10, 200, 90));
  for (const std::string extension : {".png", ".jpg"}) {
    std::vector<uchar> bytes;
    ASSERT_TRUE(cv::imencode(extension, picture, bytes));
    EXPECT_EQ(SizeFromHeader({bytes.begin(), bytes.end()}), cv::Size(101, 37)) << extension;
  }
}

TEST_F(Still, NoSizeWhereTheHeaderIsCutOrOfAnotherFormat) {
  EXPECT_EQ(SizeFromHeader(""), std::nullopt);
  EXPECT_EQ(SizeFromHeader("II*\0 a TIFF is told from its directory"s), std::nullopt);
  EXPECT_EQ(SizeFromHeader(kPng20000.substr(0, 18)), std::nullopt);
  for (std::size_t length = 0; length < 16; ++length)
    EXPECT_EQ(SizeFromHeader(kJpeg500x300.substr(0, length)), std::nullopt) << length;
}

TEST_F(Still, ReadsAPictureWithItsColoursInPlace) {
  cv::Mat3b picture(20, 30, cv::Vec3b(0, 0, 0));
  picture(4, 7) = {250, 130, 20};  // BGR
  const auto file = folder_ / "still.png";
  ASSERT_TRUE(cv::imwrite(file.string(), picture));
  const auto still = ReadStill(file, {30, 20});
  ASSERT_TRUE(still.ok()) << still.error().message;
  EXPECT_EQ(still.value().image(4, 7), cv::Vec3b(250, 130, 20));
  EXPECT_EQ(still.value().image(7, 4), cv::Vec3b(0, 0, 0));
  EXPECT_EQ(still.value().name, "still.png");
  EXPECT_EQ(still.value().index, 0);
}

TEST_F(Still, AWrongSizeIsNamedWithTheRightOne) {
  const auto file = folder_ / "still.jpg";
  ASSERT_TRUE(cv::imwrite(file.string(), cv::Mat3b(20, 30, cv::Vec3b(90, 90, 90))));
  const auto still = ReadStill(file, {20, 30});
  ASSERT_FALSE(still.ok());
  EXPECT_EQ(still.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(still.error().message, HasSubstr("still.jpg is 30 x 20 px; the camera in the joint file is 20 x 30 px."));
}

TEST_F(Still, AHugeHeaderIsRefusedByItsSizeNotByDecoding) {
  // The file ends after its header: only the size check, made before decoding, can name 20000 x 20000.
  const auto still = ReadStill(Write("huge.png", kPng20000 + std::string(64, '\0')), {1280, 960});
  ASSERT_FALSE(still.ok());
  EXPECT_EQ(still.error().code, ErrorCode::kBadInput);
  EXPECT_THAT(still.error().message, HasSubstr("20000 x 20000 px"));
}

TEST_F(Still, WhatIsNoPictureIsSaid) {
  for (const auto& bytes : {""s, "frames go in at the bottom\n"s, std::string(5000, '\0'), kPng20000.substr(0, 8)}) {
    const auto still = ReadStill(Write("no_picture.png", bytes), {30, 20});
    ASSERT_FALSE(still.ok());
    EXPECT_EQ(still.error().code, ErrorCode::kBadInput);
    EXPECT_THAT(still.error().message, HasSubstr("no_picture.png is not a picture"));
  }
}

TEST_F(Still, APictureCutShortIsNotReadAsHalfAPicture) {
  cv::Mat3b picture(240, 320);
  cv::randu(picture, 0, 255);
  for (const std::string extension : {".jpg", ".png"}) {
    const auto whole = folder_ / ("whole" + extension);
    ASSERT_TRUE(cv::imwrite(whole.string(), picture));
    ASSERT_TRUE(ReadStill(whole, {320, 240}).ok());
    const std::string bytes = Bytes(whole);
    const auto still = ReadStill(Write("cut" + extension, bytes.substr(0, bytes.size() / 2)), {320, 240});
    ASSERT_FALSE(still.ok()) << extension;
    EXPECT_EQ(still.error().code, ErrorCode::kBadInput);
    EXPECT_THAT(still.error().message, HasSubstr("cut" + extension));
  }
}

TEST_F(Still, BytesAfterTheEndOfAPictureDoNoHarm) {
  const auto whole = folder_ / "whole.jpg";
  ASSERT_TRUE(cv::imwrite(whole.string(), cv::Mat3b(20, 30, cv::Vec3b(90, 90, 90))));
  EXPECT_TRUE(ReadStill(Write("longer.jpg", Bytes(whole) + "a camera's own note"), {30, 20}).ok());
}

TEST_F(Still, AMissingFileIsAnInputOutputError) {
  const auto still = ReadStill(folder_ / "nowhere.png", {30, 20});
  ASSERT_FALSE(still.ok());
  EXPECT_EQ(still.error().code, ErrorCode::kIo);
  EXPECT_THAT(still.error().message, HasSubstr("nowhere.png"));
}

TEST_F(Still, AMaskIsAPictureOfTheCamerasSizeOrRefused) {
  cv::Mat1b mask(60, 80, uchar{0});
  mask(3, 5) = 255;
  ASSERT_FALSE(WritePicture(folder_ / "mask.png", mask));
  const auto good = ReadMask(folder_ / "mask.png", {80, 60});
  ASSERT_TRUE(good.ok()) << good.error().message;
  EXPECT_EQ(cv::countNonZero(good.value()), 1);
  const auto other = ReadMask(folder_ / "mask.png", {60, 80});
  ASSERT_FALSE(other.ok());
  EXPECT_THAT(other.error().message, testing::AllOf(HasSubstr("80 x 60"), HasSubstr("60 x 80")));
  const auto none = ReadMask(Write("words.png", "no picture"), {80, 60});
  ASSERT_FALSE(none.ok());
  EXPECT_THAT(none.error().message, HasSubstr("words.png"));
}

TEST_F(Still, BlurLowersSharpnessAndGainDoesNot) {
  cv::Mat picture(200, 200, CV_8UC3);
  cv::randu(picture, 20, 120);
  cv::Mat blurred;
  cv::GaussianBlur(picture, blurred, {}, 1.5);
  const double sharp = Sharpness(picture);
  EXPECT_GT(sharp, 3 * Sharpness(blurred));
  EXPECT_NEAR(Sharpness(picture * 2), sharp, 0.02 * sharp);  // both norms grow fourfold; rounding alone remains
  EXPECT_EQ(Sharpness(cv::Mat3b(9, 9, cv::Vec3b(0, 0, 0))), 0);
}

}  // namespace
}  // namespace vision::recording
