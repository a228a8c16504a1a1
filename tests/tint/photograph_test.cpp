#include <gtest/gtest.h>

#include <map>
#include <opencv2/imgcodecs.hpp>

#include "vision/tint/tint.h"

/// Real oxide colours on real stainless steel, photographed by somebody else (fixtures/references/oxide_colours): what
/// a person calls yellow, orange, violet, blue, turquoise and pink petals, against the bare plate beside them.
namespace {

using vision::tint::Shade;

class OxideWheel : public testing::Test {
 protected:
  void SetUp() override {
    picture_ = cv::imread(ROOTSCROLL_SOURCE_DIR "/fixtures/references/oxide_colours/color_wheel.jpg");
    ASSERT_FALSE(picture_.empty());
    const auto white = vision::tint::WhiteOf(picture_, Patch(349, 559));
    ASSERT_TRUE(white.ok()) << white.error().message;
    white_ = white.value();
  }
  static cv::Rect Patch(int u, int v) { return {u - 8, v - 8, 17, 17}; }

  Shade At(int u, int v) const {
    cv::Vec3d sum(0, 0, 0);
    for (const cv::Vec3b& bgr : cv::Mat3b(picture_(Patch(u, v)).clone()))
      for (int i = 0; i < 3; ++i) sum[i] += vision::tint::LinearOf(bgr[i]) / white_.bgr[i];
    const cv::Vec2d c = vision::tint::ChromaOf(sum);
    return vision::tint::ShadeOf(c[0], c[1], vision::tint::TintOptions().least_chroma);
  }

  cv::Mat3b picture_;
  vision::tint::White white_;
};

TEST_F(OxideWheel, YellowAndOrangeAreStraw) {
  EXPECT_EQ(At(555, 524), Shade::kStraw);
  EXPECT_EQ(At(612, 498), Shade::kStraw);
}

TEST_F(OxideWheel, PinkVioletBlueAndTurquoiseAreHotterThanStraw) {
  EXPECT_EQ(At(620, 428), Shade::kBluePurple);
  EXPECT_EQ(At(410, 428), Shade::kBluePurple);
  EXPECT_EQ(At(419, 489), Shade::kBluePurple);
  EXPECT_EQ(At(476, 524), Shade::kBluePurple);
}

TEST_F(OxideWheel, BarePlateElsewhereInThePictureIsClean) {
  EXPECT_EQ(At(682, 524), Shade::kClean);
  EXPECT_EQ(At(515, 253), Shade::kClean);
}

}  // namespace
