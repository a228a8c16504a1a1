#include "vision/tint/tint.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "tests/bead/strip_maker.h"
#include "vision/base/says.h"

namespace {

using tests::MadeStrip;
using vision::Says;
using vision::tint::AssessTint;
using vision::tint::LinearOf;
using vision::tint::Shade;
using vision::tint::Tint;
using vision::tint::TintOptions;
using vision::tint::White;
using vision::tint::WhiteOf;

constexpr double kToeU_mm = 0.1;

struct Band {
  double to_mm;   ///< Outer end, from the toe.
  cv::Vec3d bgr;  ///< Linear, over bare metal.
};
/// A painted chart, outward from the toe: grey, blue, purple, straw, bare.
const std::vector<Band> kAll{
    {1.4, {0.6, 0.6, 0.6}}, {2.4, {0.9, 0.5, 0.4}}, {3.2, {0.8, 0.45, 0.7}}, {4.6, {0.35, 0.7, 0.9}}};
const std::vector<Band> kStrawOnly{{2.0, {0.45, 0.75, 0.9}}};

uchar Coded(double linear) {
  const double v = linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1 / 2.4) - 0.055;
  return cv::saturate_cast<uchar>(255 * v);
}

struct Painted {
  MadeStrip made;
  std::vector<Band> left, right;
  cv::Vec3d cast{1, 1, 1};  ///< What the camera's balance does to every channel.

  vision::unroll::Strip Make() const {
    auto strip = made.Make();
    for (int r = 0; r < strip.grid.rows; ++r)
      for (int c = 0; c < strip.grid.columns; ++c) {
        const double theta = strip.grid.ThetaDeg(c), z = strip.grid.ZMm(r);
        const bool before = z < 0;
        const double out = before ? made.Left(theta) - z : z - made.Right(theta);
        cv::Vec3d film(1, 1, 1);
        for (const Band& band : before ? left : right)
          if (out >= 0 && out < band.to_mm) {
            film = band.bgr;
            break;
          }
        for (int i = 0; i < 3; ++i) strip.image(r, c)[i] = Coded(LinearOf(strip.image(r, c)[i]) * film[i] * cast[i]);
      }
    return strip;
  }

  White SeenWhite() const { return {0.5 * cast}; }

  Tint Read(std::vector<std::optional<White>> whites, TintOptions options = {}) const {
    return Read(Make(), whites, options);
  }
  Tint Read(const vision::unroll::Strip& strip, std::vector<std::optional<White>> whites,
            TintOptions options = {}) const {
    std::vector<double> a, b;
    for (int i = 0; i < 720; ++i) a.push_back(made.Left(0.5 * i)), b.push_back(made.Right(0.5 * i));
    auto tint = AssessTint(strip, a, b, kToeU_mm, whites, options);
    EXPECT_TRUE(tint.ok());
    return tint.value();
  }
};

Painted Plain() {
  Painted p;
  p.made.radius_mm = 60;
  return p;
}

long Lines(const vision::tint::Side& side, Shade shade) {
  return std::count(side.shade.begin(), side.shade.end(), shade);
}
long NotAssessed(const vision::tint::Side& side) {
  return std::count(side.shade.begin(), side.shade.end(), std::nullopt);
}

TEST(Tint, BareMetalIsCleanAllRound) {
  const Tint tint = Plain().Read({{White{}}});
  EXPECT_EQ(Lines(tint.left, Shade::kClean), 720);
  EXPECT_EQ(Lines(tint.right, Shade::kClean), 720);
  EXPECT_TRUE(tint.bare_seen);
  EXPECT_EQ(tint.left.reach_mm[100], 0);
}

TEST(Tint, EachSideKeepsItsOwnShadeAndReach) {
  Painted p = Plain();
  p.left = kAll, p.right = kStrawOnly;
  const Tint tint = p.Read({{White{}}});
  EXPECT_GT(Lines(tint.left, Shade::kGreyMatt), 715);
  EXPECT_GT(Lines(tint.right, Shade::kStraw), 715);
  for (std::size_t i = 0; i < 720; i += 45) {
    EXPECT_NEAR(tint.left.reach_mm[i], 4.6, 2 * tint.left.reach_u_mm[i]) << i;
    EXPECT_NEAR(tint.right.reach_mm[i], 2.0, 2 * tint.right.reach_u_mm[i]) << i;
    EXPECT_LT(tint.left.reach_u_mm[i], 0.5) << i;
  }
}

TEST(Tint, BlueWithoutAColourlessBandInsideIsNotGrey) {
  Painted p = Plain();
  p.left = {kAll.begin() + 1, kAll.end()};
  EXPECT_GT(Lines(p.Read({{White{}}}).left, Shade::kBluePurple), 715);
}

/// A camera set to lamp light makes bare metal blue; the white target, seen alike, takes that back.
TEST(Tint, TheCamerasCastDoesNotCountWhenTheWhiteTargetHasItToo) {
  Painted p = Plain();
  p.cast = {1.25, 1.0, 0.7};
  p.right = kStrawOnly;
  const Tint tint = p.Read({{p.SeenWhite()}});
  EXPECT_GT(Lines(tint.left, Shade::kClean), 715);
  EXPECT_GT(Lines(tint.right, Shade::kStraw), 715);
}

TEST(Tint, WithoutAWhiteTargetNothingIsAssessedAndItSaysWhy) {
  Painted p = Plain();
  p.left = kAll;
  const Tint tint = p.Read({std::nullopt});
  EXPECT_EQ(NotAssessed(tint.left), 720);
  EXPECT_EQ(NotAssessed(tint.right), 720);
  EXPECT_EQ(tint.left.why[10].code, Says::kNoWhiteHere);
  EXPECT_TRUE(std::isnan(tint.left.reach_mm[10]));
}

/// Colour that reaches past all wall in sight leaves no bare metal; white alone then tells it.
TEST(Tint, AWallColouredAllTheWayIsNotTakenForBareMetal) {
  Painted p = Plain();
  p.left = p.right = {{50, {0.45, 0.75, 0.9}}};
  const Tint tint = p.Read({{White{}}});
  EXPECT_FALSE(tint.bare_seen);
  EXPECT_GT(Lines(tint.left, Shade::kStraw), 715);
}

TEST(Tint, BlownOutDarkAndUnseenWallIsNotAssessedAndEachSaysWhy) {
  Painted p = Plain();
  p.left = kStrawOnly;
  auto strip = p.Make();
  const auto box = [&](double from_deg, double to_deg) {
    const int a = strip.grid.NearestColumn(from_deg), b = strip.grid.NearestColumn(to_deg);
    return cv::Rect(a, 0, b - a, strip.grid.rows);
  };
  strip.image(box(40, 60)).setTo(cv::Scalar(255, 255, 255));
  strip.clipped(box(40, 60)) = 255;
  strip.image(box(90, 110)).setTo(cv::Scalar(9, 9, 9));
  strip.source_frame(box(140, 160)) = -1;
  const Tint tint = p.Read(strip, {{White{}}});
  const auto why = [&](double theta_deg) { return tint.left.why[static_cast<std::size_t>(2 * theta_deg)].code; };
  EXPECT_EQ(why(50), Says::kWallBlownOut);
  EXPECT_EQ(why(100), Says::kWallTooDark);
  EXPECT_EQ(why(150), Says::kWallOutOfSight);
  EXPECT_EQ(why(20), Says::kNone);
  EXPECT_EQ(tint.left.shade[100], std::nullopt);
  EXPECT_EQ(tint.left.shade[40], Shade::kStraw);
}

TEST(Tint, ASpeckOfDirtMakesNoRun) {
  Painted p = Plain();
  auto strip = p.Make();
  const int column = strip.grid.NearestColumn(80);
  strip.image(cv::Rect(column, static_cast<int>(strip.grid.Row(-5)), 12, 20)).setTo(cv::Scalar(30, 60, 110));
  EXPECT_EQ(Lines(p.Read(strip, {{White{}}}).left, Shade::kClean), 720);
}

TEST(Tint, OptionsOutOfRangeAndToesOfAnotherLengthAreRefused) {
  TintOptions options;
  options.least_chroma = 0;
  const auto strip = Plain().Make();
  const std::vector<double> toes(720, 0.0), short_toes(10, 0.0);
  auto refused = AssessTint(strip, toes, toes, 0.1, {}, options);
  ASSERT_FALSE(refused.ok());
  EXPECT_NE(refused.error().message.find("least_chroma"), std::string::npos);
  EXPECT_FALSE(AssessTint(strip, short_toes, toes, 0.1, {}, {}).ok());
}

TEST(White, AnEvenTargetGivesItsLinearMean) {
  const cv::Mat3b picture(40, 60, cv::Vec3b(200, 180, 160));
  const auto white = WhiteOf(picture, cv::Rect(10, 10, 20, 20));
  ASSERT_TRUE(white.ok());
  EXPECT_NEAR(white.value().bgr[0], LinearOf(200), 1e-12);
  EXPECT_NEAR(white.value().bgr[2], LinearOf(160), 1e-12);
}

TEST(White, ABlownOutDarkUnevenOrMissingTargetIsRefusedWithTheReason) {
  const auto message = [](const cv::Mat3b& picture, std::optional<cv::Rect> box = std::nullopt) {
    const auto white = WhiteOf(picture, box);
    return white.ok() ? std::string() : white.error().message;
  };
  EXPECT_NE(message(cv::Mat3b(20, 20, cv::Vec3b(255, 200, 200))).find("blown out"), std::string::npos);
  EXPECT_NE(message(cv::Mat3b(20, 20, cv::Vec3b(90, 90, 20))).find("too dark"), std::string::npos);
  EXPECT_NE(message(cv::Mat3b(20, 20, cv::Vec3b(90, 90, 90)), cv::Rect(10, 10, 20, 5)).find("box_px"),
            std::string::npos);
  cv::Mat3b half(20, 20, cv::Vec3b(220, 220, 220));
  half.colRange(0, 10).setTo(cv::Scalar(50, 50, 50));
  EXPECT_NE(message(half).find("not one evenly lit"), std::string::npos);
}

}  // namespace
