#include "fixtures/field/bounce.h"

#include <gtest/gtest.h>

#include <cmath>

#include "fixtures/field/light.h"
#include "tests/field/plain.h"

namespace fixtures::field {
namespace {

using Eigen::Array3f;
using Eigen::Vector3f;

constexpr double kRadius = 60, kFrom = -250;

/// A bare pipe of which the rings with |s| up to `half_mm` are lit, each place alike.
class Lit {
 public:
  explicit Lit(double half_mm)
      : surface_(options_), world_(surface_, view_), bounce_(world_, Array3f::Ones(), kFrom, Rings(half_mm)) {}
  const Bounce& bounce() const { return bounce_; }

 private:
  static std::vector<Array3f> Rings(double half_mm) {
    std::vector<Array3f> rings;
    for (int i = 0; i < Bounce::kSteps; ++i) {
      const bool lit = std::abs(kFrom + i * Bounce::kStepMm) <= half_mm;
      rings.insert(rings.end(), Bounce::kTurns, lit ? Array3f(Array3f::Ones()) : Array3f(Array3f::Zero()));
    }
    return rings;
  }
  SceneOptions options_ = PlainScene(kRadius, false);
  View view_ = PlainView(0, 0, -100);
  Surface surface_;
  World world_;
  Bounce bounce_;
};

Patch On(double s_mm, const Vector3f& normal, double from_axis_mm = kRadius) {
  return {Vector3f(0, static_cast<float>(from_axis_mm), static_cast<float>(s_mm)),
          normal.normalized(),
          Vector3f::UnitX(),
          true,
          0,
          static_cast<float>(s_mm),
          true};
}

const Vector3f kInward(0, -1, 0), kAhead(0, 0, 1);

/// Inside of a cylinder of length h to itself: 1 + H - sqrt(1 + H^2) with H = h / (2 r) (view factor of every catalogue
/// of them, from memory).
TEST(Bounce, ALitStretchOfWallLightsItselfByItsViewFactor) {
  for (const double half : {30.0, 60.0, 120.0}) {
    const Lit lit(half - 0.5 * Bounce::kStepMm);
    double sum = 0;
    int count = 0;
    for (double s = -half + 1; s < half; s += 2, ++count)
      sum += static_cast<double>(lit.bounce().On(On(s, kInward))[0]);
    const double h = half / kRadius;
    EXPECT_NEAR(sum / count, 1 + h - std::sqrt(1 + h * h), 0.05) << half;
  }
}

TEST(Bounce, InAPipeLitAllAlongEveryPlaceGetsWhatTheWallThrowsBack) {
  const Lit lit(1e6);
  for (const Vector3f& normal : {kInward, Vector3f(0, -1, 1), Vector3f(1, -1, -2)})
    EXPECT_NEAR(lit.bounce().On(On(40, normal, 58))[0], 1, 1e-4);
  EXPECT_NEAR(lit.bounce().Mirrored(On(40, kInward), Vector3f(0, -1, -1).normalized(), 0.4F)[0], 1, 1e-4);
}

/// Lit before s = 0 alone: what faces back gets it, what faces on into the dark does not, and gloss shows the half that
/// the eye's sight is thrown towards.
TEST(Bounce, AFlankGetsTheLightOfTheWallThatItFaces) {
  const Lit lit(200);
  const auto far_side = On(195, Vector3f(0, -1, 1)), near_side = On(195, Vector3f(0, -1, -1));
  EXPECT_GT(lit.bounce().On(near_side)[0], 2 * lit.bounce().On(far_side)[0]);
  const Vector3f from_behind = Vector3f(0, -1, -1).normalized(), from_ahead = Vector3f(0, -1, 1).normalized();
  EXPECT_LT(lit.bounce().Mirrored(On(195, kInward), from_behind, 0.2F)[0], 0.2F);
  EXPECT_GT(lit.bounce().Mirrored(On(195, kInward), from_ahead, 0.2F)[0], 0.8F);
}

/// Wall beside the weld and in its zone are lit by two ways of reckoning; no line shows where they meet.
TEST(Bounce, WallInTheWeldsZoneIsAsBrightAsBesideIt) {
  const Lit lit(60);
  for (const double s : {-40.0, 0.0, 55.0, 90.0}) {
    Patch beside = On(s, kInward);
    beside.weld = false;
    EXPECT_NEAR(lit.bounce().On(beside)[0], lit.bounce().On(On(s, kInward))[0], 0.06) << s;
  }
}

}  // namespace
}  // namespace fixtures::field
