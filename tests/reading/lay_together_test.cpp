#include "vision/reading/lay_together.h"

#include <gmock/gmock.h>

#include <opencv2/imgproc.hpp>

#include "fixtures/scene/options.h"

namespace vision::reading {
namespace {

using testing::HasSubstr;

/// Blotches of a wall, seeded.
cv::Mat1f Blotches(int seed, const unroll::StripGrid& grid) {
  cv::Mat1f field(grid.rows, grid.columns);
  cv::RNG random(static_cast<std::uint64_t>(seed));
  random.fill(field, cv::RNG::NORMAL, 0, 1);
  cv::copyMakeBorder(field, field, 0, 0, 60, 60, cv::BORDER_WRAP);
  cv::GaussianBlur(field, field, {}, 6);
  field = field.colRange(60, 60 + grid.columns).clone();
  cv::Scalar mean, spread;
  cv::meanStdDev(field, mean, spread);
  field.convertTo(field, CV_32F, 1 / spread[0], -mean[0] / spread[0]);
  return field;
}

/// A look from `distance_mm` whose wall shows two drawings by these shares, drawn `z_mm` farther along the strip.
Look Showing(const std::string& name, double distance_mm, double first, double second, double z_mm) {
  Look look;
  look.name = name;
  look.pose.bore_from_cam = fixtures::scene::PoseLooking(true, 0, 0, -distance_mm, 0, 0, 0);
  look.strip.grid = unroll::StripGrid::Over(30, -17.7, 17.7);
  cv::Mat1f wall;
  cv::addWeighted(Blotches(1, look.strip.grid), 20 * first, Blotches(2, look.strip.grid), 20 * second, 128, wall);
  const int rows = cvRound(z_mm / look.strip.grid.pitch_mm);
  cv::Mat1b grey;
  cv::Mat1f moved;
  cv::copyMakeBorder(wall, moved, rows, 0, 0, 0, cv::BORDER_REFLECT);
  moved.rowRange(0, wall.rows).convertTo(grey, CV_8U);
  cv::cvtColor(grey, look.strip.image, cv::COLOR_GRAY2BGR);
  return look;
}

std::vector<std::string> Names(const std::vector<Look>& looks) {
  std::vector<std::string> names;
  for (const Look& look : looks) names.push_back(look.name);
  return names;
}

// The far and the near picture show two drawings with nothing in common, the one between shows both (correlation 0.7
// with either by construction): what a lamp that travels along does to a wall.
TEST(LayTogether, ALookIsLaidOnTheFirstOverOneThatIsLikeBoth) {
  std::vector<Look> looks{Showing("far", 60, 1, 0, 0), Showing("near", 30, 0, 1, 1.5),
                          Showing("between", 45, 0.7, 0.7, 1)};
  std::swap(looks[1], looks[2]);
  Reading reading;
  LayTogether(looks, reading);
  ASSERT_EQ(Names(looks), (std::vector<std::string>{"far", "between", "near"}));
  EXPECT_FALSE(looks[0].to_first);
  ASSERT_TRUE(looks[1].to_first && looks[2].to_first);
  for (const double theta_deg : {0.0, 120.0, 240.0}) {
    EXPECT_NEAR(looks[1].to_first->Z(theta_deg), 1, 0.1) << theta_deg;
    EXPECT_NEAR(looks[2].to_first->Z(theta_deg), 1.5, 0.15) << theta_deg;
  }
  EXPECT_TRUE(reading.notes.empty());
}

TEST(LayTogether, AFirstLookThatIsLikeNoneOfTheOthersIsTheOneLeftOut) {
  std::vector<Look> looks{Showing("odd", 60, 1, 0, 0), Showing("a", 45, 0, 1, 0), Showing("b", 30, 0, 1, 0.5)};
  Reading reading;
  LayTogether(looks, reading);
  ASSERT_EQ(Names(looks), (std::vector<std::string>{"a", "b"}));
  EXPECT_FALSE(looks[0].to_first);
  EXPECT_NEAR(looks[1].to_first->Z(90), 0.5, 0.05);
  ASSERT_EQ(reading.notes.size(), 1U);
  EXPECT_THAT(EnglishOf(reading.notes[0]), HasSubstr("odd was left out: it could not be laid on a"));
}

TEST(LayTogether, OfLooksThatMatchInNoWayTheNearestIsKept) {
  std::vector<Look> looks{Showing("far", 60, 1, 0, 0), Showing("near", 30, 0, 1, 0)};
  Reading reading;
  LayTogether(looks, reading);
  EXPECT_EQ(Names(looks), (std::vector<std::string>{"near"}));
  ASSERT_EQ(reading.notes.size(), 1U);
  EXPECT_THAT(EnglishOf(reading.notes[0]), HasSubstr("far was left out"));
}

}  // namespace
}  // namespace vision::reading
