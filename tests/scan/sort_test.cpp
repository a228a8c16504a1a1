#include "vision/scan/sort.h"

#include <gmock/gmock.h>

#include <opencv2/imgproc.hpp>

#include "fixtures/scene/arc_film.h"
#include "vision/scan/scan.h"

namespace vision::scan {
namespace {

FrameLook LookAt(const cv::Mat& picture, const std::vector<cv::Rect>& without = {}) {
  cv::Mat grey = picture, small;
  if (picture.channels() == 3) cv::cvtColor(picture, grey, cv::COLOR_BGR2GRAY);
  cv::resize(grey, small, {320, 240}, 0, 0, cv::INTER_AREA);
  return FrameLooker(grey.cols / 320.0).Look(small, 0, 0, without);
}

/// Films of the scene maker: what burns when is in their plan. Kinds differ in exposure, place, spatter, reflections.
class Arc : public testing::TestWithParam<std::string> {};

TEST_P(Arc, IsToldFromALookAndFromLightsOff) {
  fixtures::scene::FilmOptions film;
  film.kind = GetParam();
  film.seed = 3;
  film.frames_per_second = 1;
  film.sweep_deg = 40;
  const auto made = fixtures::scene::ArcFilm::Make(film);
  ASSERT_TRUE(made.ok());
  int burning = 0, told = 0;
  for (int i = 0; i < made.value().frames(); i += 3) {
    auto frame = made.value().Plan(i);
    if (!frame.arc_on && !frame.looking) continue;  // what was molten still glows
    const bool on = ArcOn(LookAt(made.value().Shoot(&frame)), {});
    EXPECT_FALSE(frame.looking && on) << frame.time_s;
    burning += frame.arc_on;
    told += frame.arc_on && on;
  }
  ASSERT_GT(burning, 3);
  EXPECT_GE(told, burning - 1);  // the first moment may be too small yet
}

INSTANTIATE_TEST_SUITE_P(Kinds, Arc, testing::Values("plain", "saturated", "off_axis", "spatter", "reflections"));

TEST(ArcOn, DaylightAtTheFarEndOfADarkBoreIsNone) {
  cv::Mat1b dark(720, 960, uchar{9});
  cv::circle(dark, {490, 350}, 12, cv::Scalar(250), cv::FILLED);
  EXPECT_FALSE(ArcOn(LookAt(dark), {}));
  cv::Mat1b aside(720, 960, uchar{9});
  cv::circle(aside, {490, 600}, 12, cv::Scalar(250), cv::FILLED);
  EXPECT_TRUE(ArcOn(LookAt(aside), {}));
}

TEST(FrameLooker, SharpTextDoesNotHideThatThePictureIsBlurred) {
  cv::Mat1b wall(720, 960);
  cv::RNG(3).fill(wall, cv::RNG::UNIFORM, 40, 220);
  cv::GaussianBlur(wall, wall, {}, 9);
  cv::normalize(wall, wall, 60, 160, cv::NORM_MINMAX);
  const double plain = LookAt(wall).blur_px;
  cv::putText(wall, "LINE 7 JOINT 12", {40, 200}, cv::FONT_HERSHEY_SIMPLEX, 3, cv::Scalar(255), 6);
  EXPECT_LT(LookAt(wall).blur_px, 0.7 * plain);
  EXPECT_NEAR(LookAt(wall, {{8, 38, 290, 40}}).blur_px, plain, 0.1 * plain);
}

/// One look each 0.2 s: `blur_px` from the list of (until, blur, light, weld).
struct Part {
  double until_s, blur_px, bright;
  bool weld;
};

Sorted SortParts(const std::vector<Part>& parts) {
  std::vector<FrameLook> looks;
  for (const auto& part : parts)
    while (static_cast<double>(looks.size()) * 0.2 < part.until_s - 1e-9) {
      FrameLook look;
      look.index = static_cast<long>(looks.size());
      look.time_s = 0.2 * static_cast<double>(look.index);
      look.bright = look.middle = look.peak = part.bright;
      look.blur_px = part.blur_px;
      look.weld = WeldCue{true, part.weld ? 200.0 : 2.0, part.weld ? 1.0 : 0.1, 0.8};
      looks.push_back(look);
    }
  return Sort(looks, {}, 3, true, {});
}

TEST(Sort, WhatShowsNothingRightBesideALookBelongsToItAndIsRefusedForThat) {
  const auto sorted = SortParts(
      {{20, 2, 0.5, false}, {30, 9, 0.5, false}, {34, 2, 0.01, false}, {50, 2, 0.5, true}, {70, 2, 0.5, false}});
  ASSERT_EQ(sorted.welds.size(), 1u);
  const auto& weld = sorted.welds[0];
  EXPECT_NEAR(weld.from_s, 20, 0.3);
  EXPECT_NEAR(weld.to_s, 50, 0.3);
  ASSERT_TRUE(weld.proposed);
  EXPECT_GE(weld.best_from_s, 34 - 0.3);
  ASSERT_EQ(weld.refused.size(), 2u);
  EXPECT_EQ(weld.refused[0].why.code, NotProposed::kBlurred);
  EXPECT_NEAR(weld.refused[0].to_s, 30, 0.3);
  EXPECT_EQ(weld.refused[1].why.code, NotProposed::kDark);
}

TEST(Sort, ALongDarkIsNoPartOfALook) {
  const auto sorted = SortParts({{90, 2, 0.01, false}, {100, 2, 0.5, true}, {120, 2, 0.5, false}});
  ASSERT_EQ(sorted.welds.size(), 1u);
  EXPECT_NEAR(sorted.welds[0].from_s, 90, 0.3);
}

}  // namespace
}  // namespace vision::scan
