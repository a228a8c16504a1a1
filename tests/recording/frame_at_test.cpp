#include "vision/recording/frame_at.h"

#include <gmock/gmock.h>

#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>

#include "tests/recording/temporary_folder.h"
#include "vision/recording/film.h"

namespace vision::recording {
namespace {

/// Films whose frames carry their own number as a row of eight black or white fields.
class FrameAtTest : public TemporaryFolder {
 protected:
  static cv::Mat3b Numbered(int number) {
    cv::Mat3b image(96, 128, cv::Vec3b(90, 90, 90));
    for (int bit = 0; bit < 8; ++bit)
      image(cv::Rect(16 * bit, 24, 16, 48)).setTo(number >> bit & 1 ? cv::Scalar::all(255) : cv::Scalar::all(0));
    return image;
  }
  static int NumberIn(const cv::Mat& image) {
    int number = 0;
    for (int bit = 0; bit < 8; ++bit) number |= (cv::mean(image(cv::Rect(16 * bit + 4, 32, 8, 32)))[1] > 128) << bit;
    return number;
  }
  std::string Film(const std::string& name, const char* code, int frames = 200) const {
    const auto file = folder_ / name;
    cv::VideoWriter film(file.string(), cv::CAP_FFMPEG, cv::VideoWriter::fourcc(code[0], code[1], code[2], code[3]), 25,
                         {128, 96});
    for (int i = 0; i < frames; ++i) film.write(Numbered(i));
    return file.string();
  }
};

TEST_F(FrameAtTest, GivesThePictureThatTheStreamGivesAtThatTime) {
  // Pictures coded each by itself, and ones that lean on those before (a seek lands on a key frame only).
  for (const auto& film : {Film("each.avi", "MJPG"), Film("lean.avi", "mp4v"), Film("lean.mp4", "mp4v")}) {
    auto stream = FrameStream::Open(film);
    ASSERT_TRUE(stream.ok()) << film;
    int compared = 0;
    for (;;) {
      const auto next = stream.value().Next();
      ASSERT_TRUE(next.ok());
      if (!next.value()) break;
      if (next.value()->index % 23 != 0) continue;
      const auto there = FrameAt(film, next.value()->time_s);
      ASSERT_TRUE(there.ok()) << there.error().message;
      EXPECT_EQ(NumberIn(there.value().image), NumberIn(next.value()->image)) << film << " " << next.value()->time_s;
      EXPECT_NEAR(there.value().time_s, next.value()->time_s, 0.002);
      ++compared;
    }
    EXPECT_EQ(compared, 9) << film;
  }
}

TEST_F(FrameAtTest, BetweenTwoFramesTheEarlierOneIsStillShown) {
  const auto there = FrameAt(Film("each.avi", "MJPG"), 3.0 + 0.03);
  ASSERT_TRUE(there.ok());
  EXPECT_EQ(NumberIn(there.value().image), 75);
}

TEST_F(FrameAtTest, BeyondTheEndTheLastFrameIsGiven) {
  const auto there = FrameAt(Film("each.avi", "MJPG", 60), 50);
  ASSERT_TRUE(there.ok()) << there.error().message;
  EXPECT_EQ(NumberIn(there.value().image), 59);
}

TEST_F(FrameAtTest, AFilmGoesOnFromThereWithoutLosingAPicture) {
  for (const auto& name : {Film("each.avi", "MJPG"), Film("lean.mp4", "mp4v")}) {
    for (const double from_s : {0.0, 3.4, 7.8}) {
      auto film = recording::Film::OpenAt(name, from_s);
      ASSERT_TRUE(film.ok()) << film.error().message;
      int expected = static_cast<int>(std::lround(from_s * 25));
      for (;; ++expected) {
        const auto next = film.value().Next();
        ASSERT_TRUE(next.ok());
        if (!next.value()) break;
        ASSERT_EQ(NumberIn(next.value()->image), expected) << name << " from " << from_s;
        EXPECT_NEAR(next.value()->time_s, expected / 25.0, 0.002);
      }
      EXPECT_EQ(expected, 200);
    }
    auto film = recording::Film::OpenAtFrame(name, 137);
    ASSERT_TRUE(film.ok());
    for (const int expected : {137, 138, 139}) {
      const auto next = film.value().Next();
      ASSERT_TRUE(next.ok() && next.value());
      EXPECT_EQ(NumberIn(next.value()->image), expected);
      EXPECT_EQ(next.value()->index, expected);
      EXPECT_NEAR(next.value()->time_s, expected / 25.0, 0.002);
    }
    EXPECT_EQ(recording::Film::OpenAtFrame(name, 200).error().code, ErrorCode::kNotFound);
  }
}

TEST_F(FrameAtTest, StillsFollowEachOtherBySeconds) {
  for (int i = 0; i < 4; ++i) cv::imwrite((folder_ / ("still_" + std::to_string(i) + ".png")).string(), Numbered(i));
  const auto there = FrameAt(folder_.string(), 2.4);
  ASSERT_TRUE(there.ok());
  EXPECT_EQ(NumberIn(there.value().image), 2);
}

TEST_F(FrameAtTest, WhatHasNoPastOrIsNoVideoIsRefused) {
  EXPECT_EQ(FrameAt("/nowhere/film.avi", 1).error().code, ErrorCode::kIo);
  EXPECT_THAT(FrameAt("rtsp://127.0.0.1/live", 1).error().message, testing::HasSubstr("no past"));
  EXPECT_EQ(FrameAt(Write("film.avi", "no film").string(), 1).error().code, ErrorCode::kBadInput);
  std::stop_source stop;
  stop.request_stop();
  EXPECT_TRUE(FrameAt(Film("each.avi", "MJPG", 60), 2, {stop.get_token(), {}}).cancelled());
}

}  // namespace
}  // namespace vision::recording
