#include "vision/surface/surface.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/bead/strip_maker.h"
#include "vision/base/says.h"

namespace {

using tests::MadeStrip;
using vision::surface::Bead;
using vision::surface::FindSurface;
using vision::surface::Surface;
using vision::surface::SurfaceOptions;

constexpr double kDegPerMm = 180 / std::numbers::pi / 60;  // MadeStrip's radius is 60 mm

vision::unroll::Strip StripOf(const MadeStrip& made) {
  auto strip = made.Make();
  strip.resolution_arc_mm = cv::Mat1f(strip.image.size(), 0.2f);
  return strip;
}

Bead BeadOf(const MadeStrip& made) {
  Bead bead;
  for (int i = 0; i < 720; ++i) {
    bead.left_z_mm.push_back(made.Left(0.5 * i));
    bead.right_z_mm.push_back(made.Right(0.5 * i));
  }
  bead.unfused_left = bead.unfused_right = std::vector<bool>(720, false);
  return bead;
}

MadeStrip Plain() {
  MadeStrip made;
  made.radius_mm = 60;
  return made;
}

/// A bead as smooth as the wall: MadeStrip's ripples are livelier than a pore, and rightly hide it.
MadeStrip Smooth() {
  MadeStrip made = Plain();
  made.bead = false;
  return made;
}

/// Darkens an ellipse, mm, with soft ends.
void Darken(vision::unroll::Strip& strip, double theta_deg, double z_mm, double along_mm, double axial_mm, double to) {
  for (int r = 0; r < strip.grid.rows; ++r)
    for (int c = 0; c < strip.grid.columns; ++c) {
      const double x = (strip.grid.ThetaDeg(c) - theta_deg) / kDegPerMm / (along_mm / 2);
      const double y = (strip.grid.ZMm(r) - z_mm) / (axial_mm / 2);
      const double d = x * x + y * y;
      if (d < 1.2) strip.image(r, c) *= d < 0.8 ? to : to + (1 - to) * (d - 0.8) / 0.4;
    }
}

Surface Read(const vision::unroll::Strip& strip, const MadeStrip& made) {
  auto surface = FindSurface(strip, BeadOf(made), SurfaceOptions());
  EXPECT_TRUE(surface.ok());
  return surface.value();
}

long Count(const Surface& surface, const std::string& kind) {
  return std::count_if(surface.seen.begin(), surface.seen.end(), [&](const auto& s) { return s.kind == kind; });
}

long Lines(const Surface& surface, const std::string& kind) {
  for (const auto& search : surface.searched)
    if (search.kind == kind)
      return std::count_if(search.smallest_mm.begin(), search.smallest_mm.end(), [](double v) { return v > 0; });
  return -1;
}

TEST(Surface, ASoundBeadShowsNothing) {
  const auto made = Plain();
  EXPECT_TRUE(Read(StripOf(made), made).seen.empty());
}

TEST(Surface, FindsARoundPitWhereItWasDrawn) {
  const auto made = Smooth();
  auto strip = StripOf(made);
  Darken(strip, 100, -0.5, 1.4, 1.4, 0.25);
  const auto surface = Read(strip, made);
  ASSERT_EQ(Count(surface, "pore"), 1);
  EXPECT_NEAR(surface.seen.front().theta_deg, 100, 0.5 * kDegPerMm);
  EXPECT_NEAR(surface.seen.front().z_mm, -0.5, 0.5);
  EXPECT_NEAR(surface.seen.front().length_mm, 1.4, 2 * surface.seen.front().length_u_mm);
}

TEST(Surface, ALineIsNoPore) {
  const auto made = Smooth();
  auto strip = StripOf(made);
  Darken(strip, 100, 0, 0.6, 30, 0.4);     // a drawing line, along the axis
  Darken(strip, 200, -0.5, 14, 0.5, 0.4);  // a scratch, around
  EXPECT_EQ(Count(Read(strip, made), "pore"), 0);
}

TEST(Surface, RipplesAsLivelyAsAPoreAreNotSearched) {
  const auto lively = Plain(), smooth = Smooth();
  EXPECT_EQ(Lines(Read(StripOf(lively), lively), "pore"), 0);
  EXPECT_GT(Lines(Read(StripOf(smooth), smooth), "pore"), 700);
}

TEST(Surface, APitAcrossThetaZeroIsOne) {
  const auto made = Smooth();
  auto strip = StripOf(made);
  Darken(strip, 0, -0.5, 1.4, 1.4, 0.25);
  Darken(strip, 360, -0.5, 1.4, 1.4, 0.25);
  EXPECT_EQ(Count(Read(strip, made), "pore"), 1);
}

TEST(Surface, WhereGlareHidesTheBeadNothingWasSearched) {
  const auto made = Plain();
  auto strip = StripOf(made);
  const long before = Lines(Read(strip, made), "burn_through");
  EXPECT_GT(before, 700);
  const int from = strip.grid.NearestColumn(80), to = strip.grid.NearestColumn(120);
  for (int c = from; c < to; ++c)
    for (int r = 0; r < strip.grid.rows; ++r)
      if (std::abs(strip.grid.ZMm(r)) < 1) strip.clipped(r, c) = 255, strip.valid(r, c) = 0;
  EXPECT_NEAR(static_cast<double>(before - Lines(Read(strip, made), "burn_through")), 80, 4);
}

TEST(Surface, ACoarserPictureClaimsOnlyLargerSizes) {
  const auto made = Plain();
  auto strip = StripOf(made);
  strip.resolution_z_mm = strip.resolution_arc_mm = cv::Mat1f(strip.image.size(), 1.0f);
  for (const auto& search : Read(strip, made).searched) {
    if (search.kind == "undercut") continue;
    for (const double v : search.smallest_mm) EXPECT_FALSE(v < 2.5);
  }
}

TEST(Surface, ReversedShadingIsASignToLook) {
  auto made = Plain();
  made.concave_from_deg = 60, made.concave_to_deg = 120;
  const auto look = Read(StripOf(made), made).concave_look;
  EXPECT_GT(std::count(look.begin() + 124, look.begin() + 236, true), 100);
  EXPECT_EQ(std::count(look.begin(), look.begin() + 110, true) + std::count(look.begin() + 250, look.end(), true), 0);
}

/// A concave root's near side faces away and is darker than the wall; one that is brighter is no such sign, however
/// bright the far side.
TEST(Surface, ANearSideBrighterThanTheWallIsNoConcaveLook) {
  const auto made = Plain();
  for (const double near : {0.75, 1.3}) {
    auto strip = StripOf(made);
    for (int c = strip.grid.NearestColumn(60); c < strip.grid.NearestColumn(120); ++c) {
      const double theta = strip.grid.ThetaDeg(c), left = made.Left(theta), right = made.Right(theta);
      const auto wall = strip.image(static_cast<int>(strip.grid.Row(left - 2)), c);
      for (int r = 0; r < strip.grid.rows; ++r)
        if (const double t = (strip.grid.ZMm(r) - left) / (right - left); t > 0 && t < 1)
          strip.image(r, c) = wall * (t < 0.5 ? near : near * 1.5);
    }
    const auto look = Read(strip, made).concave_look;
    const auto seen = std::count(look.begin(), look.end(), true);
    if (near < 1)
      EXPECT_GT(seen, 100);
    else
      EXPECT_EQ(seen, 0);
  }
}

TEST(Surface, ABrightLineShorterThanWhatIsSearchedForIsNone) {
  const auto made = Plain();
  auto strip = StripOf(made);
  for (int c = strip.grid.NearestColumn(150); c < strip.grid.NearestColumn(150 + 3.6 * kDegPerMm); ++c) {
    const double toe = made.Right(strip.grid.ThetaDeg(c));
    for (int r = 0; r < strip.grid.rows; ++r)
      if (strip.grid.ZMm(r) > toe + 0.1 && strip.grid.ZMm(r) < toe + 0.9) strip.image(r, c) *= 1.7;
  }
  EXPECT_EQ(Count(Read(strip, made), "undercut"), 0) << "3.6 mm, least_undercut_mm is 5";
}

TEST(Surface, ABrightLineOutsideTheFarToeIsAnUndercut) {
  const auto made = Plain();
  auto strip = StripOf(made);
  for (int c = strip.grid.NearestColumn(150); c < strip.grid.NearestColumn(170); ++c) {
    const double toe = made.Right(strip.grid.ThetaDeg(c));
    for (int r = 0; r < strip.grid.rows; ++r)
      if (strip.grid.ZMm(r) > toe + 0.1 && strip.grid.ZMm(r) < toe + 0.9) strip.image(r, c) *= 1.7;
  }
  const auto surface = Read(strip, made);
  ASSERT_EQ(Count(surface, "undercut"), 1);
  EXPECT_EQ(surface.seen.front().side, "right");
  EXPECT_NEAR(surface.seen.front().length_mm, 20 / kDegPerMm, 2 * surface.seen.front().length_u_mm);
}

/// Wrinkles about 1 mm apart, as light as dark, on the wall beside the left toe.
void Wrinkle(vision::unroll::Strip& strip, const MadeStrip& made, double from_deg, double to_deg, double reach_mm,
             double strength) {
  cv::Mat1f noise(strip.image.size());
  cv::RNG rng(11);
  rng.fill(noise, cv::RNG::NORMAL, 0, 1);
  cv::GaussianBlur(noise, noise, {}, 3.5);  // of 0.1 mm
  cv::Scalar mean, deviation;
  cv::meanStdDev(noise, mean, deviation);
  for (int r = 0; r < strip.grid.rows; ++r)
    for (int c = 0; c < strip.grid.columns; ++c) {
      const double theta = strip.grid.ThetaDeg(c), out = made.Left(theta) - strip.grid.ZMm(r);
      if (theta < from_deg || theta > to_deg || out < 0 || out > reach_mm) continue;
      strip.image(r, c) *= std::max(0.3, 1 + strength * static_cast<double>(noise(r, c)) / deviation[0]);
    }
}

TEST(Surface, WrinkledScaleBesideAToeIsFoundWithItsLength) {
  const auto made = Plain();
  auto strip = StripOf(made);
  Wrinkle(strip, made, 100, 130, 3, 0.25);
  const auto surface = Read(strip, made);
  ASSERT_EQ(Count(surface, "scale"), 1);
  const auto found =
      std::find_if(surface.seen.begin(), surface.seen.end(), [](const auto& s) { return s.kind == "scale"; });
  EXPECT_EQ(found->side, "left");
  EXPECT_NEAR(found->theta_deg, 115, 2);
  EXPECT_NEAR(found->length_mm, 30 / kDegPerMm, 2 * found->length_u_mm);
  EXPECT_NEAR(found->width_mm, 3, 2 * found->width_u_mm);
}

TEST(Surface, ASmoothGapOfAFewMillimetresDoesNotPartAnArcOfScale) {
  const auto made = Plain();
  auto strip = StripOf(made);
  Wrinkle(strip, made, 100, 112, 3, 0.25);
  Wrinkle(strip, made, 119, 131, 3, 0.25);  // 7.3 mm apart, windows of 3 mm reach into the gap from both sides
  EXPECT_EQ(Count(Read(strip, made), "scale"), 1);
}

/// A drawn pipe has lines along the axis, a turned or brushed one has them around: neither is wrinkled.
TEST(Surface, DrawnLinesAndTurnedMarksAreNoScale) {
  const auto made = Plain();
  for (const bool along : {true, false}) {
    auto strip = StripOf(made);
    cv::RNG rng(3);
    std::vector<double> lines(static_cast<std::size_t>(std::max(strip.grid.rows, strip.grid.columns)));
    for (std::size_t i = 0; i < lines.size(); ++i) lines[i] = i % 5 == 0 ? 1 + rng.gaussian(0.18) : lines[i - 1];
    const int from = strip.grid.NearestColumn(150), to = strip.grid.NearestColumn(200);
    for (int r = 0; r < strip.grid.rows; ++r)
      for (int c = from; c < to; ++c)
        strip.image(r, c) *= std::clamp(lines[static_cast<std::size_t>(along ? c : r)], 0.5, 1.5);
    EXPECT_EQ(Count(Read(strip, made), "scale"), 0) << (along ? "along" : "around");
  }
}

TEST(Surface, TintBandsAndAShadedPatchAreNoScale) {
  auto made = Plain();
  made.tint = true;
  made.patch_from_deg = 200, made.patch_to_deg = 220;
  EXPECT_EQ(Count(Read(StripOf(made), made), "scale"), 0);
}

TEST(Surface, ScaleIsNotSaidToHaveBeenSearchedWhereTheWallIsBlownOut) {
  const auto made = Plain();
  auto strip = StripOf(made);
  const int from = strip.grid.NearestColumn(50), to = strip.grid.NearestColumn(80);
  strip.clipped(cv::Rect(from, 0, to - from, strip.grid.rows)) = 255;
  const auto surface = Read(strip, made);
  for (const auto& search : surface.searched)
    if (search.kind == "scale") {
      EXPECT_FALSE(search.smallest_mm[130] > 0) << search.side;
      EXPECT_EQ(search.why[130].code, vision::Says::kWallBesideHidden);
      EXPECT_TRUE(search.smallest_mm[300] > 0);
    }
}

}  // namespace
