#include "vision/resolve/resolve.h"

#include <gmock/gmock.h>

#include <cmath>
#include <limits>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

namespace vision::resolve {
namespace {

using testing::HasSubstr;

/// Contrast left of a dark line at the pixel centre it falls worst for, by brute force: the line drawn on a grid of
/// 1/64 pixel, blurred, averaged over whole pixels, for every phase.
double ContrastByDrawing(double width_px, double blur_px) {
  constexpr int kFine = 64, kPixels = 60;
  cv::Mat1f line(1, kFine * kPixels, 0.0F);
  const double middle = 0.5 * kFine * kPixels;
  for (int i = 0; i < line.cols; ++i)
    if (std::abs(i + 0.5 - middle) <= 0.5 * width_px * kFine) line(0, i) = 1;
  if (blur_px > 0)
    cv::GaussianBlur(line, line, cv::Size(12 * static_cast<int>(blur_px * kFine) + 1, 1), blur_px * kFine, 1e-3);
  double worst = 1;
  for (int phase = 0; phase < kFine; ++phase) {
    double darkest = 0;
    for (int pixel = 0; pixel + 1 < kPixels; ++pixel)
      darkest = std::max(darkest, cv::mean(line.colRange(pixel * kFine + phase, (pixel + 1) * kFine + phase))[0]);
    worst = std::min(worst, darkest);
  }
  return worst;
}

TEST(SmallestLinePx, KeepsTheContrastThatDrawingTheLineGives) {
  for (const double blur : {0.5, 0.75, 1.5, 3.0})
    EXPECT_NEAR(ContrastByDrawing(SmallestLinePx(blur), blur), 0.5, 0.02) << blur;
  ResolveOptions strict;
  strict.least_contrast = 0.8;
  EXPECT_NEAR(ContrastByDrawing(SmallestLinePx(1.0, strict), 1.0), 0.8, 0.02);
  strict.least_pixels = 5;
  EXPECT_DOUBLE_EQ(SmallestLinePx(1.0, strict), 5);
}

/// Slanted squares, drawn four times as large, blurred and then averaged over whole pixels.
cv::Mat3b Squares(double blur_px) {
  constexpr int kFine = 4;
  cv::Mat1b grey(480 * kFine, 640 * kFine, uchar{60});
  for (int row = 0; row < grey.rows; ++row)
    for (int column = 0; column < grey.cols; ++column)
      if ((static_cast<int>(row + 0.13 * column) / 96 + static_cast<int>(column - 0.13 * row + 1920) / 96) % 2 != 0)
        grey(row, column) = 190;
  cv::GaussianBlur(grey, grey, {}, blur_px * kFine);
  cv::resize(grey, grey, {640, 480}, 0, 0, cv::INTER_AREA);
  cv::Mat3b picture;
  cv::cvtColor(grey, picture, cv::COLOR_GRAY2BGR);
  return picture;
}

TEST(MeasureSharpness, FindsTheBlurThatWasPutIn) {
  for (const double blur : {0.8, 1.2, 2.0, 3.0}) {
    const auto sharpness = MeasureSharpness(Squares(blur));
    EXPECT_TRUE(sharpness.measured);
    EXPECT_NEAR(sharpness.overall_px, std::hypot(blur, std::sqrt(1.0 / 12)), 0.12 * blur);  // and the pixel's square
  }
}

TEST(MeasureSharpness, BlurOfOnePartIsOfThatPart) {
  cv::Mat3b picture = Squares(0.8);
  Squares(3).colRange(320, 640).copyTo(picture.colRange(320, 640));
  const auto sharpness = MeasureSharpness(picture);
  EXPECT_NEAR(sharpness.At(100, 200), 0.8, 0.15);
  EXPECT_NEAR(sharpness.At(540, 200), 3.0, 0.4);
}

// Frames of an independent ray tracer, blurred further by a known amount: the blurs add as squares. Their own blur is
// not written down; 0.5 to 1 px is what a recorder leaves.
TEST(MeasureSharpness, OnIndependentFramesBlursAddAsSquares) {
  const auto frame =
      cv::imread(ROOTSCROLL_SOURCE_DIR "/fixtures/independent/single_02_unfused_left/frame_000.jpg", cv::IMREAD_COLOR);
  ASSERT_FALSE(frame.empty());
  const double own = MeasureSharpness(frame).overall_px;
  EXPECT_GT(own, 0.49);
  EXPECT_LT(own, 1.0);
  for (const double more : {1.5, 2.5}) {
    cv::Mat3b blurred;
    cv::GaussianBlur(frame, blurred, {}, more);
    EXPECT_NEAR(MeasureSharpness(blurred).overall_px, std::hypot(own, more), 0.15 * more);
  }
}

TEST(MeasureSharpness, WithoutEdgesSaysAssumed) {
  const auto sharpness = MeasureSharpness(cv::Mat3b(240, 320, cv::Vec3b(90, 90, 90)));
  EXPECT_FALSE(sharpness.measured);
  EXPECT_DOUBLE_EQ(sharpness.overall_px, ResolveOptions().assumed_blur_px);
}

unroll::Strip TwoCells() {
  unroll::Strip strip;
  strip.grid = unroll::StripGrid::Over(10, 0, 0.3, 0.1);
  const cv::Size size(strip.grid.columns, strip.grid.rows);
  strip.image = cv::Mat3b(size, cv::Vec3b(100, 100, 100));
  strip.source_frame = cv::Mat1s(size, short{0});
  strip.source_px = cv::Mat2f(size, cv::Vec2f(5, 5));
  strip.resolution_z_mm = cv::Mat1f(size, 0.2F);
  strip.resolution_arc_mm = cv::Mat1f(size, 0.3F);
  return strip;
}

// Half contrast at 0.75 px of blur needs 1.30 px (brute force above); the coarser way counts, 0.3 mm a pixel.
TEST(SmallestLineMm, TakesTheCoarserWayAndTheFrameOfTheCell) {
  auto strip = TwoCells();
  strip.source_frame(1, 2) = -1;
  strip.source_frame(2, 3) = 1;
  Sharpness sharp, soft;
  sharp.overall_px = 0.75;
  soft.overall_px = 3;
  const auto map = SmallestLineMm(strip, {sharp, soft});
  EXPECT_NEAR(map(0, 0), 0.3 * SmallestLinePx(0.75), 1e-6);
  EXPECT_NEAR(map(0, 0), 0.39, 0.01);
  EXPECT_TRUE(std::isnan(map(1, 2)));
  EXPECT_NEAR(map(2, 3), 0.3 * SmallestLinePx(3), 1e-6);
  const auto picture = LinePicture(strip, map);
  EXPECT_EQ(picture(0, 0), cv::Vec3b(100, 100, 100)) << "a place that is fine keeps its picture";
  EXPECT_EQ(picture(1, 2), cv::Vec3b(0, 0, 0));
}

TEST(ResolveOptions, CheckNamesWhatIsWrong) {
  ResolveOptions options;
  EXPECT_FALSE(options.Check());
  options.least_contrast = 1;
  EXPECT_THAT(options.Check()->message, HasSubstr("least_contrast"));
  options = {};
  options.line_mm = std::numeric_limits<double>::quiet_NaN();
  EXPECT_THAT(options.Check()->message, HasSubstr("line_mm"));
}

}  // namespace
}  // namespace vision::resolve
