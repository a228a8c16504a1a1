#include "vision/reading/source_map.h"

#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

namespace vision::reading {
namespace {

/// A frame whose colours are its own coordinates (u / 4, v / 4), seen by a strip through a map written out by hand:
/// u = 100 + column / 2, v = 40 + row / 4. 100 columns: the last kept column (96) lies 4 cells before column 0.
unroll::Strip Ramp() {
  unroll::Strip strip;
  strip.grid = {100 * 0.1 / (2 * CV_PI), 0.1, -1.6, 33, 100};
  strip.source_px.create(33, 100);
  strip.source_frame = cv::Mat1s(33, 100, static_cast<short>(0));
  strip.resolution_z_mm = cv::Mat1f(33, 100, 0.25F);
  for (int row = 0; row < 33; ++row)
    for (int column = 0; column < 100; ++column)
      strip.source_px(row, column) = {100 + 0.5F * static_cast<float>(column), 40 + 0.25F * static_cast<float>(row)};
  return strip;
}

const StripPicture kPicture{"strip.png", "seen.png", 100, 33, 3.6, 0.1, -1.6, 0.25};

TEST(SourceMap, GivesThePixelBetweenKeptCells) {
  const auto map = EncodeSourceMap(Ramp());
  const auto point = LookUp(map, kPicture, 3.6 * 21, -1.6 + 0.1 * 13);  // column 21, row 13
  ASSERT_TRUE(point);
  EXPECT_NEAR(point->u_px, 110.5, 0.13);  // an eighth of a pixel is what the file keeps
  EXPECT_NEAR(point->v_px, 43.25, 0.13);
  EXPECT_NEAR(point->resolution_mm, 0.25, 1e-3);
}

TEST(SourceMap, WrapsThroughThetaZero) {
  auto strip = Ramp();
  strip.source_px.setTo(cv::Scalar(300, 40));
  strip.source_px.col(0).setTo(cv::Scalar(340, 40));
  const auto map = EncodeSourceMap(strip);
  const auto point = LookUp(map, kPicture, 3.6 * 98, -1.6);  // half way from column 96 to column 0
  ASSERT_TRUE(point);
  EXPECT_NEAR(point->u_px, 320, 0.2);
  EXPECT_NEAR(LookUp(map, kPicture, 3.6 * 98 - 360, -1.6)->u_px, 320, 0.2);
}

TEST(SourceMap, SaysNothingWhereTheFrameDoesNotSee) {
  auto strip = Ramp();
  const float nan = std::numeric_limits<float>::quiet_NaN();
  strip.source_px.rowRange(0, 9).setTo(cv::Scalar(nan, nan));
  strip.source_frame.rowRange(0, 9).setTo(-1);
  const auto map = EncodeSourceMap(strip);
  EXPECT_FALSE(LookUp(map, kPicture, 36, -1.2));
  EXPECT_TRUE(LookUp(map, kPicture, 36, 0.4));
  EXPECT_FALSE(LookUp(map, kPicture, 36, 5));
  EXPECT_FALSE(LookUp(map, kPicture, 36, -5));
  EXPECT_FALSE(LookUp({}, kPicture, 36, 0));
}

/// The demo's strip was made by the pipeline's own remap; here the frame is sampled anew where the map points.
TEST(SourceMap, PointsAtTheSameColourInTheDemosFrameAsInTheStrip) {
  const std::string folder = std::string(ROOTSCROLL_SOURCE_DIR) + "/fixtures/demo/";
  MeasureInput input;
  input.joint_id = "demo";
  input.bore = {77.1, 0.02};
  input.insert_width_mm = 4.2;
  camera::Lens lens{camera::LensModel::kEquidistant, 1280, 960, 345.6, 345.6, 639.5, 479.5, 0, {}, 82};
  input.recordings.push_back(
      {"root", "root", {{folder + "from_a.jpg", lens, {}, pose::Facing::kPlusZ, 180.9546, {}, {}, {}}}, {}, false});
  const auto measured = Measure(input);
  ASSERT_TRUE(measured.ok()) << measured.error().message;
  cv::Mat map, strip, origin;
  for (const auto& picture : measured.value().pictures) {
    if (picture.name == "source_1.png") map = picture.image;
    if (picture.name == "strip.png") strip = picture.image;
    if (picture.name == "strip_origin.png") origin = picture.image;
  }
  const cv::Mat frame = cv::imread(folder + "from_a.jpg");
  ASSERT_FALSE(frame.empty());
  const auto& picture = measured.value().reading.strip;
  double off = 0;
  int count = 0;
  for (int column = 3; column < picture.columns; column += 61)
    for (int row = 41; row < picture.rows; row += 37) {
      const auto at =
          LookUp(map, picture, column * picture.theta_pitch_deg, picture.z_from_mm + row * picture.pitch_mm);
      if (!at || origin.at<uchar>(row, column) != 1) continue;
      cv::Mat pixel;
      cv::getRectSubPix(frame, {1, 1}, {static_cast<float>(at->u_px), static_cast<float>(at->v_px)}, pixel);
      off += cv::norm(pixel.at<cv::Vec3b>(0, 0), strip.at<cv::Vec3b>(row, column), cv::NORM_INF);
      ++count;
    }
  ASSERT_GT(count, 300);
  EXPECT_LT(off / count, 4) << "grey values, over " << count << " cells";
}

}  // namespace
}  // namespace vision::reading
