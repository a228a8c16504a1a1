#include "vision/recording/decode.h"

#include <gmock/gmock.h>
#include <zlib.h>

#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>
#include <random>

#include "tests/recording/temporary_folder.h"
#include "vision/recording/frame_source.h"
#include "vision/recording/jpeg_seam.h"
#include "vision/recording/video_check.h"

namespace vision::recording {
namespace {

using testing::HasSubstr;
using std::string_literals::operator""s;

class Decode : public TemporaryFolder {
 protected:
  /// A picture with detail everywhere, so that its coded data are long.
  static cv::Mat3b Picture(int rows = 96, int cols = 128) {
    cv::Mat3b picture(rows, cols);
    for (int y = 0; y < rows; ++y)
      for (int x = 0; x < cols; ++x)
        picture(y, x) = {cv::saturate_cast<uchar>(128 + 90 * std::sin(x * 0.31 + y * 0.05)),
                         cv::saturate_cast<uchar>(128 + 90 * std::sin(y * 0.23)),
                         cv::saturate_cast<uchar>(128 + 90 * std::cos(x * 0.11 - y * 0.3))};
    return picture;
  }
  static std::string Coded(const std::string& format, const cv::Mat& picture) {
    std::vector<uchar> bytes;
    EXPECT_TRUE(cv::imencode(format, picture, bytes));
    return {bytes.begin(), bytes.end()};
  }
  static cv::Mat ByOpenCv(const std::string& bytes, int flags) {
    return cv::imdecode(std::vector<uchar>(bytes.begin(), bytes.end()), flags);
  }
};

/// The segment that a camera writes (Exif 2.3, 4.6.4: tag 0x0112, SHORT, one value), in either order of bytes.
std::string ExifSegment(int orientation, bool little) {
  const std::string tag = little ? "\x12\x01\x03\0\x01\0\0\0"s + static_cast<char>(orientation) + "\0\0\0"s
                                 : "\x01\x12\0\x03\0\0\0\x01\0"s + static_cast<char>(orientation) + "\0\0"s;
  const std::string tiff =
      little ? "II*\0\x08\0\0\0\x01\0"s + tag + "\0\0\0\0"s : "MM\0*\0\0\0\x08\0\x01"s + tag + "\0\0\0\0"s;
  const std::string body = "Exif\0\0"s + tiff;
  return "\xff\xe1\0"s + static_cast<char>(body.size() + 2) + body;
}

TEST_F(Decode, AnOrientationIsSaidAndNotApplied) {
  const auto picture = Picture();
  const std::string plain = Coded(".jpg", picture);
  EXPECT_EQ(OrientationOf(plain), 1);
  for (const bool little : {true, false})
    for (int orientation = 2; orientation <= 8; ++orientation) {
      const std::string turned = plain.substr(0, 2) + ExifSegment(orientation, little) + plain.substr(2);
      // OpenCV itself turns it: the tag is one that other programs obey.
      EXPECT_GT(
          cv::norm(ByOpenCv(turned, cv::IMREAD_COLOR).reshape(1, 1), ByOpenCv(plain, cv::IMREAD_COLOR).reshape(1, 1)),
          100.0);
      EXPECT_EQ(OrientationOf(turned), orientation);
      const auto still = ReadStill(Write("turned.jpg", turned), {128, 96});
      ASSERT_TRUE(still.ok()) << still.error().message;
      EXPECT_EQ(cv::norm(still.value().image, ByOpenCv(plain, cv::IMREAD_COLOR), cv::NORM_INF), 0);
    }
}

TEST_F(Decode, ATiffThatAsksToBeTurnedIsRefused) {
  const std::string bytes =
      "MM\0*\0\0\0\x08\0\x03"
      "\x01\0\0\x03\0\0\0\x01\0\x40\0\0\x01\x01\0\x03\0\0\0\x01\0\x40\0\0"  // 64 x 64
      "\x01\x12\0\x03\0\0\0\x01\0\x03\0\0\0\0\0\0"s;
  EXPECT_EQ(OrientationOf(bytes), 3);
  EXPECT_THAT(DecodePicture(bytes, "a.tif").error().message, HasSubstr("orientation 3"));
}

TEST_F(Decode, EveryBitOfAPngIsEitherNamedOrChangesNoPixel) {
  const auto picture = Picture(24, 32);
  const std::string good = Coded(".png", picture);
  const cv::Mat right = ByOpenCv(good, cv::IMREAD_COLOR);
  int refused = 0;
  for (std::size_t bit = 0; bit < 8 * good.size(); ++bit) {
    std::string bad = good;
    bad[bit / 8] = static_cast<char>(bad[bit / 8] ^ (1 << bit % 8));
    const auto decoded = DecodePicture(bad, "a.png");
    refused += !decoded.ok();
    if (!decoded.ok()) continue;
    ASSERT_EQ(cv::norm(decoded.value(), right, cv::NORM_INF), 0) << "bit " << bit;
  }
  EXPECT_GT(refused, 0.99 * 8 * static_cast<double>(good.size()));
}

TEST_F(Decode, APictureWithThreeBytesChangedIsRefusedWhereItsDecoderWarns) {
  // The demo's own frame, three bytes in the last quarter, 200 times; libjpeg's warnings as OpenCV hides them.
  const std::string good = Bytes(ROOTSCROLL_SOURCE_DIR "/fixtures/demo/from_a.jpg");
  ASSERT_EQ(DamageOf(good), "");
  std::mt19937 random(5);
  std::uniform_int_distribution<std::size_t> place(good.size() * 3 / 4, good.size() - 3);
  int refused = 0, harmless = 0, blocks = 0, unseen = 0;
  for (int i = 0; i < 200; ++i) {
    std::string bad = good;
    for (int n = 0; n < 3; ++n) bad[place(random)] = static_cast<char>(random());
    if (!DecodePicture(bad, "a.jpg").ok()) {
      ++refused;
      continue;
    }
    cv::Mat differs;
    cv::absdiff(ByOpenCv(bad, cv::IMREAD_COLOR), ByOpenCv(good, cv::IMREAD_COLOR), differs);
    const double share = cv::countNonZero(differs.reshape(1) > 8) / static_cast<double>(differs.total() * 3);
    ++(share == 0 ? harmless : share < 1e-3 ? blocks : unseen);
  }
  std::printf(
      "  three bytes changed, 200 times: %d refused; not refused: %d without a pixel 8 levels off, %d in under a "
      "thousandth of the picture, %d in more\n",
      refused, harmless, blocks, unseen);
  EXPECT_GE(refused, 160);  // a JPEG has no sum: what its codes still make a picture of does not show
  EXPECT_EQ(unseen, 0);
}

TEST_F(Decode, OrdinaryPicturesAreNotCalledDamaged) {
  for (const int quality : {30, 75, 95, 100})
    for (const int progressive : {0, 1})
      for (const int restart : {0, 4}) {
        std::vector<uchar> bytes;
        cv::imencode(".jpg", Picture(), bytes,
                     {cv::IMWRITE_JPEG_QUALITY, quality, cv::IMWRITE_JPEG_PROGRESSIVE, progressive,
                      cv::IMWRITE_JPEG_OPTIMIZE, progressive, cv::IMWRITE_JPEG_RST_INTERVAL, restart});
        EXPECT_EQ(DamageOf({reinterpret_cast<const char*>(bytes.data()), bytes.size()}), "");
      }
  for (const std::string format : {".png", ".bmp", ".tif"}) {
    EXPECT_TRUE(DecodePicture(Coded(format, Picture()), "a").ok()) << format;
    EXPECT_EQ(DecodePicture(Coded(format, Picture()), "a", Colour::kGrey).value().channels(), 1) << format;
  }
}

std::string Chunk(const std::string& type, const std::string& data) {
  const std::string covered = type + data;
  const auto big = [](std::size_t n) {
    return std::string{static_cast<char>(n >> 24), static_cast<char>(n >> 16), static_cast<char>(n >> 8),
                       static_cast<char>(n)};
  };
  return big(data.size()) + covered +
         big(::crc32(0, reinterpret_cast<const Bytef*>(covered.data()), static_cast<uInt>(covered.size())));
}

/// The chunks of ISO/IEC 15948, 11.2.2: a header that tells this size, no pixels.
std::string PngOf(unsigned width, unsigned height) {
  std::string header(13, '\0');
  for (std::size_t i = 0; i < 4; ++i) {
    header[i] = static_cast<char>(width >> (24 - 8 * i)), header[4 + i] = static_cast<char>(height >> (24 - 8 * i));
  }
  header[8] = 8, header[9] = 2;
  return "\x89PNG\r\n\x1a\n" + Chunk("IHDR", header) + Chunk("IEND", "");
}

TEST_F(Decode, APixelOrAByteAboveTheMostIsRefusedBeforeAnythingIsDecoded) {
  EXPECT_EQ(RefusalOf(PngOf(20000, 10000)), "");
  EXPECT_EQ(RefusalOf(PngOf(20000, 10001)), " is 20000 x 10001 px; at most 200 million px are taken.");
  EXPECT_THAT(RefusalOf(PngOf(0xffffffff, 0xffffffff)), HasSubstr("at most 200 million px"));
  for (const std::string format : {".jpg", ".tif", ".bmp"}) {
    const auto small = Coded(format, cv::Mat3b(64, 64));
    ASSERT_EQ(RefusalOf(small), "") << format;
  }
  std::string bmp = Coded(".bmp", cv::Mat3b(64, 64));
  bmp.replace(18, 8, "\x20\x4e\0\0\x11\x27\0\0"s);  // 20000 x 10001, little-endian
  EXPECT_THAT(RefusalOf(bmp), HasSubstr("20000 x 10001"));
  const std::string tiff =
      "II*\0\x08\0\0\0\x02\0\0\x01\x04\0\x01\0\0\0\x20\x4e\0\0\x01\x01\x04\0\x01\0\0\0\x11\x27\0\0\0\0\0\0"s;
  EXPECT_THAT(RefusalOf(tiff), HasSubstr("20000 x 10001"));
  std::string large = PngOf(64, 64);
  large.resize(kMostPictureBytes);
  EXPECT_EQ(RefusalOf(large), "");
  large += 'x';
  EXPECT_THAT(RefusalOf(large), HasSubstr(std::to_string(large.size()) + " bytes; of a picture at most 268435456"));
}

// Found by libFuzzer: a size that our own look at the header missed and libjpeg found took 12 GB.
TEST_F(Decode, APictureWhoseSizeOnlyItsDecoderFindsIsRefused) {
  for (const char* seed : {"large_1", "large_2"}) {
    const auto bytes = Bytes(std::string(ROOTSCROLL_SOURCE_DIR "/tests/fuzz/seeds/picture/") + seed);
    ASSERT_FALSE(bytes.empty());
    EXPECT_NE(RefusalOf(bytes), "") << seed;
    EXPECT_NE(DamageOf(bytes), "") << seed;
  }
}

TEST_F(Decode, OnlyTheDecodersOfFourFormatsAreLetNearBytesFromOutside) {
  for (const std::string format : {".ppm", ".pgm", ".webp", ".jp2", ".ras", ".hdr"}) {
    std::vector<uchar> bytes;
    try {
      const cv::Mat picture = Picture();
      cv::Mat other = picture;
      if (format == ".hdr") picture.convertTo(other, CV_32F, 1 / 255.0);
      if (format == ".pgm") other = picture.reshape(1);
      if (!cv::imencode(format, other, bytes)) continue;
    } catch (const cv::Exception&) {
      continue;  // OpenCV was built without it
    }
    EXPECT_FALSE(cv::imdecode(bytes, cv::IMREAD_COLOR).empty()) << format;  // OpenCV itself would take it
    EXPECT_THAT(DecodePicture({reinterpret_cast<const char*>(bytes.data()), bytes.size()}, "a").error().message,
                HasSubstr("a JPEG, PNG or TIFF is wanted"))
        << format;
  }
}

// Pictures that other programs wrote; those beside the repository where they are there.
TEST_F(Decode, EveryWholePictureThatLiesHereIsTaken) {
  int count = 0;
  for (const char* place : {ROOTSCROLL_SOURCE_DIR "/fixtures", ROOTSCROLL_SOURCE_DIR "/../shared"}) {
    std::error_code none;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(
             place, std::filesystem::directory_options::follow_directory_symlink, none)) {
      if (entry.path().extension() != ".jpg") continue;
      EXPECT_EQ(DamageOf(Bytes(entry.path())), "") << entry.path();
      ++count;
    }
  }
  std::printf("  %d pictures taken\n", count);
  EXPECT_GT(count, 5);
}

/// 40 x 24 blocks: light from above and from the left, a hump in the middle, grain.
BlockLevels Levels(unsigned seed, double grain = 1) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0, grain);
  BlockLevels blocks{40, 24, 2, 2, {}};
  for (int row = 0; row < 24; ++row)
    for (int column = 0; column < 40; ++column)
      blocks.level.push_back(static_cast<float>(60 * std::sin(row * 0.3) + 2 * column +
                                                30 * std::exp(-std::hypot(row - 12, column - 20) / 5) + noise(random)));
  return blocks;
}

TEST(LevelsJump, TellsAPlaceFromWhichAllIsDarker) {
  int told = 0;
  for (unsigned seed = 0; seed < 200; ++seed) {
    BlockLevels blocks = Levels(seed);
    ASSERT_FALSE(LevelsJump(blocks)) << seed;
    const int from = 2 * (3 + static_cast<int>(seed % 6)), column = 2 * (6 + static_cast<int>(seed % 8));
    for (int row = from; row < 24; ++row)
      for (int c = row < from + 2 ? column : 0; c < 40; ++c)
        blocks.level[static_cast<std::size_t>(row * 40 + c)] -= seed % 2 ? 8 : -8;
    told += LevelsJump(blocks);
  }
  EXPECT_GE(told, 190);
}

TEST(LevelsJump, AnEdgeAcrossThePictureIsNone) {
  for (const double slope : {0.0, 0.01, 0.05, 0.1, 0.5, -0.05, 4.0})
    for (double height = 4; height < 20; height += 0.23) {
      BlockLevels blocks = Levels(7, 0.3);
      for (int row = 0; row < 24; ++row)
        for (int column = 0; column < 40; ++column) {
          const double edge = height + slope * (column - 20);  // the share of a block beyond it is as much darker
          blocks.level[static_cast<std::size_t>(row * 40 + column)] -=
              static_cast<float>(40 * std::clamp(row + 1 - edge, 0.0, 1.0));
        }
      EXPECT_FALSE(LevelsJump(blocks)) << slope << " " << height;
    }
}

class DamagedVideo : public Decode {
 protected:
  /// Thirty frames that move, coded as `code` says.
  std::filesystem::path Film(const char* name, int code) {
    const auto file = folder_ / name;
    cv::VideoWriter video(file.string(), cv::CAP_FFMPEG, code, 10, {320, 240});
    const cv::Mat3b whole = Picture(240, 420);
    for (int i = 0; i < 30; ++i) video.write(whole(cv::Rect(3 * i, 0, 320, 240)).clone());
    video.release();
    return file;
  }
};

TEST_F(DamagedVideo, NamesTheFramesOfAMotionJpegAndLeavesThemOut) {
  const auto file = Film("film.avi", cv::VideoWriter::fourcc('M', 'J', 'P', 'G'));
  EXPECT_THAT(DamagedFrames(file).value(), testing::IsEmpty());
  std::string bytes = Bytes(file);
  std::size_t at = 0;
  for (int frame = 0; frame <= 12; ++frame) at = bytes.find("\xff\xd8\xff", at + 1);
  const std::size_t end = bytes.find("\xff\xd9", at);
  for (std::size_t i = at + (end - at) / 2; i < at + (end - at) / 2 + 40; ++i)
    bytes[i] = static_cast<char>(0x5a + i % 7);
  const auto bad = Write("bad.avi", bytes);
  EXPECT_THAT(DamagedFrames(bad).value(), testing::ElementsAre(12));
  VideoDamage damage;
  const auto frames = ReadVideo(bad, {320, 240}, 30, &damage);
  ASSERT_TRUE(frames.ok()) << frames.error().message;
  EXPECT_EQ(frames.value().size(), 29u);
  for (const auto& frame : frames.value()) EXPECT_NE(frame.index, 12);
  EXPECT_EQ(EnglishOf(damage.Said()), "1 damaged frames were left out: 12.");
}

TEST_F(DamagedVideo, OfAPredictedVideoTheFramesUpToTheNextWholePictureAreLeftOut) {
  const auto file = Film("film.mp4", cv::VideoWriter::fourcc('m', 'p', '4', 'v'));  // a whole picture every 12 frames
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "no MPEG-4 coder";
  EXPECT_THAT(DamagedFrames(file).value(), testing::IsEmpty());
  const std::string good = Bytes(file);
  std::string bytes = good;
  const std::size_t data = good.find("mdat");
  ASSERT_NE(data, std::string::npos);
  for (std::size_t i = 0; i < 60; ++i) bytes[data + (good.size() - data) / 3 + i] = static_cast<char>(0xA5 + 3 * i);
  const auto bad = Write("bad.mp4", bytes);
  const auto damaged = DamagedFrames(bad).value();
  ASSERT_FALSE(damaged.empty());
  // Every frame that OpenCV shows otherwise than before is among them.
  cv::VideoCapture before(file.string(), cv::CAP_FFMPEG), after(bad.string(), cv::CAP_FFMPEG);
  cv::Mat was, is;
  for (int frame = 0; before.read(was) && after.read(is); ++frame)
    if (cv::norm(was, is, cv::NORM_INF) > 0) {
      EXPECT_THAT(damaged, testing::Contains(frame));
    }
}

TEST_F(DamagedVideo, StretchesHaveTheTimesOfTheirFrames) {
  const auto file = Film("film.mp4", cv::VideoWriter::fourcc('m', 'p', '4', 'v'));  // 10 frames a second
  if (!std::filesystem::exists(file)) GTEST_SKIP() << "no MPEG-4 coder";
  EXPECT_THAT(DamageIn(file).value(), testing::IsEmpty());
  std::string bytes = Bytes(file);
  const std::size_t data = bytes.find("mdat");
  for (std::size_t i = 0; i < 60; ++i) bytes[data + (bytes.size() - data) / 3 + i] = static_cast<char>(0xA5 + 3 * i);
  const auto bad = Write("bad.mp4", bytes);
  const auto frames = DamagedFrames(bad).value();
  const auto stretches = DamageIn(bad).value();
  ASSERT_EQ(stretches.size(), 1U);
  EXPECT_EQ(stretches[0].frames, static_cast<long>(frames.size()));
  EXPECT_NEAR(stretches[0].from_s, 0.1 * frames.front(), 0.01);
  EXPECT_NEAR(stretches[0].to_s, 0.1 * (frames.back() + 1), 0.01);
  EXPECT_THAT(DamageIn(bad, 0.1 * frames.front() - 0.35).value(), testing::IsEmpty());
}

TEST_F(DamagedVideo, AFrameOfAPixelTooManyIsRefused) {
  const auto file = Film("film.avi", cv::VideoWriter::fourcc('M', 'J', 'P', 'G')).string();
  StreamOptions options;
  options.most_pixels = 320 * 240;
  EXPECT_TRUE(FrameStream::Open(file, options).ok());
  options.most_pixels -= 1;
  EXPECT_THAT(FrameStream::Open(file, options).error().message,
              HasSubstr("has frames of 320 x 240 px; at most 76799 px are taken."));
}

TEST(FramesText, NamesStretches) {
  EXPECT_EQ(FramesText({}), "");
  EXPECT_EQ(FramesText({3}), "3");
  EXPECT_EQ(FramesText({3, 4, 5, 9, 11, 12}), "3 to 5, 9, 11 to 12");
  EXPECT_EQ(FramesText({1, 3, 5}, 2), "1, 3 and 1 more stretches");
}

}  // namespace
}  // namespace vision::recording
