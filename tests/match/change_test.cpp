#include "vision/match/change.h"

#include <gmock/gmock.h>

#include <cmath>
#include <opencv2/imgproc.hpp>

#include "vision/bore/angle.h"

namespace vision::match {
namespace {

constexpr double kRadius_mm = 50;

/// A wall's drawing as a sum of seeded waves.
class Drawn {
 public:
  explicit Drawn(unsigned seed) {
    cv::RNG random(seed);
    for (auto& w : waves_)
      w = {random.uniform(40, 260), random.uniform(-1.5, 1.5), random.uniform(0.0, 6.28), random.uniform(0.01, 0.03)};
  }
  double Ln(double theta_deg, double z_mm) const {
    double sum = 0;
    for (const auto& w : waves_)
      sum += w.height * std::cos(w.around * theta_deg * bore::kRadPerDeg + w.along * z_mm + w.phase);
    return sum;
  }

 private:
  struct Wave {
    int around = 0;
    double along = 0, phase = 0, height = 0;
  };
  std::array<Wave, 40> waves_;
};

/// A ground ellipse, and how the light falls.
struct Scene {
  double theta_deg = 100, z_mm = 1, circ_mm = 0, axial_mm = 0;  ///< circ 0 = none.
  double light = 0, gain = 1;                                   ///< Share that the light sways around the ring.
  double rest_theta_deg = -1, rest_z_mm = 0;                    ///< A dark pit of 1.2 mm left in the pocket; < 0 none.
  bool keeps_drawing = false;  ///< The spot is only darker: wiped or shaded, not ground.
  unsigned noise = 1;
  double rims = 0;  ///< Height of ridges along the whole ring (the bead's edges), ground or not.
};

double Along(double theta_deg, double to_deg) { return bore::ArcMm(bore::Wrap180(theta_deg - to_deg), kRadius_mm); }

FlatPicture Look(const Scene& s) {
  static const Drawn wall(7), finish(8);
  FlatPicture picture;
  picture.grid = unroll::StripGrid::Over(kRadius_mm, -17.7, 17.7, 0.1);
  const auto& grid = picture.grid;
  picture.image.create(grid.rows, grid.columns);
  picture.seen = cv::Mat1b(grid.rows, grid.columns, static_cast<uchar>(255));
  cv::RNG random(s.noise);
  for (int row = 0; row < grid.rows; ++row)
    for (int column = 0; column < grid.columns; ++column) {
      const double theta = grid.ThetaDeg(column), z = grid.ZMm(row);
      const double tint = 0.25 * std::exp(-z * z / 30);  // straw beside the weld
      double ln = std::log(110.0) + wall.Ln(theta, z), blue = -tint, red = tint;
      const double q = std::hypot(Along(theta, s.theta_deg) / (s.circ_mm / 2), (z - s.z_mm) / (s.axial_mm / 2));
      if (s.circ_mm > 0 && q < 1) {
        if (s.keeps_drawing)
          ln -= 0.5;
        else
          ln = std::log(125.0) + 0.3 * finish.Ln(theta, z), blue = red = 0;
        if (s.rest_theta_deg >= 0 && std::hypot(Along(theta, s.rest_theta_deg), z - s.rest_z_mm) < 0.6) ln -= 1.2;
      }
      for (const double rim_z_mm : {-3.0, 0.0, 1.5, 4.0})
        ln += s.rims * std::exp(-0.5 * std::pow((z - rim_z_mm) / 0.4, 2));
      ln += std::log(s.gain * (1 + s.light * std::cos((theta - 40) * bore::kRadPerDeg)));
      for (int k = 0; k < 3; ++k)
        picture.image(row, column)[k] = cv::saturate_cast<uchar>(std::exp(ln + (k == 0   ? blue
                                                                                : k == 2 ? red
                                                                                         : 0)) +
                                                                 random.gaussian(2));
    }
  return picture;
}

const FlatPicture& Before() {
  static const FlatPicture picture = Look({});
  return picture;
}

Change Found(const FlatPicture& after) {
  const auto change = FindChange(Before(), after, 0.1);
  EXPECT_TRUE(change.ok()) << change.error().message;
  return change.ok() ? change.value() : Change{};
}

TEST(Change, APocketIsOutlinedUnderAnotherLight) {
  for (const auto& [theta, circ, axial] : {std::tuple(100.0, 18.0, 11.0), std::tuple(1.0, 30.0, 14.0)}) {
    const auto change = Found(Look({theta, 1.5, circ, axial, 0.3, 0.7, -1, 0, false, 2}));
    ASSERT_EQ(change.pockets.size(), 1u);
    const auto& pocket = change.pockets[0];
    EXPECT_NEAR(pocket.circ_mm, circ, 0.3);
    EXPECT_NEAR(pocket.axial_mm, axial, 0.3);
    EXPECT_NEAR(Along(pocket.middle.theta_deg, theta), 0, 0.2);
    EXPECT_NEAR(pocket.middle.z_mm, 1.5, 0.2);
    EXPECT_NEAR(pocket.area_mm2, CV_PI / 4 * circ * axial, 0.05 * circ * axial);
    EXPECT_TRUE(change.marks.empty());
    EXPECT_TRUE(pocket.still_seen.empty());
    EXPECT_FALSE(pocket.cut_off);
  }
}

TEST(Change, AnUntouchedWallUnderAnotherLightIsNotChanged) {
  const auto change = Found(Look({100, 0, 0, 0, 0.4, 0.6, -1, 0, false, 3}));
  EXPECT_TRUE(change.pockets.empty());
  EXPECT_TRUE(change.marks.empty());
}

TEST(Change, ADarkerSpotThatKeepsTheWallsDrawingIsAMarkAndNotRemoved) {
  const auto change = Found(Look({100, 1, 14, 9, 0.2, 0.8, -1, 0, true, 4}));
  EXPECT_TRUE(change.pockets.empty());
  ASSERT_EQ(change.marks.size(), 1u);
  EXPECT_NEAR(Along(change.marks[0].place.theta_deg, 100), 0, 1);
}

// A bead's edges and shades run along the ring and stay in sight across what was ground: they are no drawing of the
// surface, and a pocket over them once passed for a wall that kept its drawing ("nothing removed").
TEST(Change, APocketAcrossEdgesThatRunAlongTheRingIsAPocket) {
  const auto before = Look({100, 1.5, 0, 0, 0, 1, -1, 0, false, 1, 0.25});
  for (const bool wiped : {false, true}) {
    const auto after = Look({100, 1.5, 18, 11, 0.2, 0.8, -1, 0, wiped, 7, 0.25});
    const auto change = FindChange(before, after, 0.1);
    ASSERT_TRUE(change.ok());
    EXPECT_EQ(change.value().pockets.size(), wiped ? 0u : 1u);
    EXPECT_EQ(change.value().marks.size(), wiped ? 1u : 0u);
  }
}

TEST(Change, WhatLaysInThePocketIsGoneWhatLaysBesideItRemains) {
  const auto after = Look({100, 1.5, 18, 11, 0.2, 0.8, -1, 0, false, 5});
  const auto change = Found(after);
  const auto fate = [&](double theta, double z, double length) {
    return FateOfIndication(change, Before(), after, {theta, z}, length);
  };
  EXPECT_EQ(fate(101, 2, 0).fate, Fate::kGone);
  EXPECT_EQ(fate(140, 2, 0).fate, Fate::kRemains);
  EXPECT_EQ(fate(100, 9, 0).fate, Fate::kRemains);
  const auto half = fate(100, 1.5, 36);  // half of it is longer than the pocket
  EXPECT_EQ(half.fate, Fate::kPartlyGone);
  EXPECT_NEAR(half.gone_mm, 18, 1.5);
}

TEST(Change, APitThatIsLeftAtTheBottomRemains) {
  const auto after = Look({100, 1.5, 18, 11, 0.2, 0.8, 102, 2.5, false, 6});
  const auto change = Found(after);
  ASSERT_EQ(change.pockets.size(), 1u);
  ASSERT_EQ(change.pockets[0].still_seen.size(), 1u);
  EXPECT_NEAR(Along(change.pockets[0].still_seen[0].place.theta_deg, 102), 0, 0.3);
  EXPECT_EQ(FateOfIndication(change, Before(), after, {102, 2.5}, 0).fate, Fate::kRemains);
  EXPECT_EQ(FateOfIndication(change, Before(), after, {96, 0}, 0).fate, Fate::kGone);
}

TEST(Change, WhatWasNotSeenIsNeitherGoneNorRemoved) {
  auto after = Look({100, 1.5, 18, 11, 0.2, 0.8, -1, 0, false, 5});
  after.seen.colRange(after.grid.NearestColumn(60), after.grid.NearestColumn(140)) = 0;
  const auto change = Found(after);
  EXPECT_TRUE(change.pockets.empty());
  EXPECT_EQ(FateOfIndication(change, Before(), after, {100, 1.5}, 0).fate, Fate::kNotExamined);
  after.seen = 0;
  EXPECT_FALSE(FindChange(Before(), after, 0.1).ok());
}

TEST(Change, ABrokenOptionAndADifferentGridAreRefused) {
  ChangeOptions options;
  options.max_texture = 0;
  EXPECT_FALSE(FindChange(Before(), Before(), 0.1, options).ok());
  auto other = Before();
  other.grid.z_from_mm += 1;
  EXPECT_FALSE(FindChange(Before(), other, 0.1).ok());
}

}  // namespace
}  // namespace vision::match
