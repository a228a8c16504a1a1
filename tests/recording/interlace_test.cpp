#include "vision/recording/interlace.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <opencv2/imgcodecs.hpp>

namespace vision::recording {
namespace {

namespace fs = std::filesystem;

std::vector<fs::path> Stills() {
  std::vector<fs::path> files;
  for (const auto& entry : fs::recursive_directory_iterator(ROOTSCROLL_SOURCE_DIR "/fixtures"))
    if (entry.path().extension() == ".jpg") files.push_back(entry.path());
  return files;
}

/// The picture as a camera that moves sideways by `shift` px between its two fields gives it.
cv::Mat Interlaced(const cv::Mat& picture, int shift) {
  cv::Mat out = picture.clone();
  for (int y = 1; y < out.rows; y += 2)
    picture.row(y).colRange(0, out.cols - shift).copyTo(out.row(y).colRange(shift, out.cols));
  return out;
}

TEST(Interlace, NoStillOfTheFixturesIsCalledSo) {
  const auto files = Stills();
  ASSERT_GE(files.size(), 15U);
  for (const auto& file : files) EXPECT_LT(Combing(cv::imread(file.string())), 0.5 * kCombed) << file;
}

TEST(Interlace, APictureOfTwoMomentsIsToldAndMendedToNearlyWhatItWas) {
  const cv::Mat still = cv::imread(ROOTSCROLL_SOURCE_DIR "/fixtures/demo/from_a.jpg");
  for (const int shift : {3, 6}) {
    cv::Mat comb = Interlaced(still, shift);
    EXPECT_GT(Combing(comb), kCombed) << shift;
    const double before = cv::norm(comb, still, cv::NORM_L1);
    Deinterlace(&comb);
    EXPECT_LT(Combing(comb), 0.5 * kCombed);
    EXPECT_LT(cv::norm(comb, still, cv::NORM_L1), 0.7 * before);
  }
}

}  // namespace
}  // namespace vision::recording
