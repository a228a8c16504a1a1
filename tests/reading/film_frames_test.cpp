#include "vision/reading/film_frames.h"

#include <gmock/gmock.h>

#include <cmath>

namespace vision::reading {
namespace {

using testing::HasSubstr;

/// A film of 60 s at 25 frames a second, looked at five times a second: the camera comes from 6 radii to 0.4, in
/// straight time, and then stands. Sharpness is told by the time; the weld shows from 2 radii on.
scan::Scanned Film() {
  scan::Scanned film;
  film.sorted.usual_blur_px = 1;
  film.sorted.blurred_above_px = 1.8;
  for (int i = 0; i < 300; ++i) {
    scan::FrameLook look;
    look.time_s = 0.2 * i;
    look.index = 5 * i;
    look.bright = 0.7;
    look.blur_px = 1 + 0.1 * std::sin(0.7 * i);
    if (i % 5 == 0) {
      scan::WeldCue cue{true, 0, 0, 0};
      cue.distance_radii = std::max(0.4, 6 - 0.112 * look.time_s);
      if (cue.distance_radii <= 2) cue.ring_strength = 100, cue.around = 0.9;
      look.weld = cue;
    }
    film.looks.push_back(look);
  }
  return film;
}

double DistanceOf(int index) { return std::max(0.4, 6 - 0.112 * index / 25.0); }

TEST(FilmFrames, AreTakenNearTheWeldOverAllDistancesInOrder) {
  const auto chosen = PickFrames(Film(), {});
  ASSERT_EQ(chosen.spans.size(), 12U);
  double nearest = 9, farthest = 0;
  for (std::size_t i = 0; i < chosen.spans.size(); ++i) {
    if (i > 0) EXPECT_GT(chosen.spans[i].first, chosen.spans[i - 1].last);
    const double distance = DistanceOf((chosen.spans[i].first + chosen.spans[i].last) / 2);
    nearest = std::min(nearest, distance), farthest = std::max(farthest, distance);
  }
  EXPECT_LT(nearest, 0.5);
  EXPECT_GT(farthest, 1.1);
  EXPECT_LE(farthest, 1.3);
  EXPECT_THAT(chosen.told, HasSubstr("12 frames"));
}

TEST(FilmFrames, BlurArcAndDarkAreLeftOutGlareAloneIsNot) {
  auto film = Film();
  for (auto& look : film.looks) {
    if (look.time_s > 50 && look.time_s < 55) look.blur_px = 5;
    if (look.time_s >= 55) look.bright = 0.01;
    look.glare = 0.2;
  }
  const auto chosen = PickFrames(film, {});
  ASSERT_FALSE(chosen.spans.empty());
  for (const auto& span : chosen.spans) EXPECT_LT(span.last / 25.0, 50.2);
}

TEST(FilmFrames, AWeldSeenOnlyFromAfarIsTakenFromThereAndNoneGivesNoSpans) {
  auto film = Film();
  film.looks.resize(200);  // up to 1.55 radii
  EXPECT_FALSE(PickFrames(film, {}).spans.empty());
  film.looks.resize(100);  // up to 3.8 radii: no weld told
  EXPECT_TRUE(PickFrames(film, {}).spans.empty());
}

TEST(FilmFrames, OptionsAreChecked) {
  FilmOptions options;
  EXPECT_FALSE(options.Check().has_value());
  options.farthest_radii = 0.1;
  EXPECT_THAT(options.Check()->message, HasSubstr("farthest_radii"));
}

}  // namespace
}  // namespace vision::reading
