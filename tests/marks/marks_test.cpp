#include "app/marks/marks.h"

#include <gmock/gmock.h>

#include <array>
#include <cmath>
#include <set>

#include "app/marks/rings.h"

namespace app::marks {
namespace {

using Triple = std::array<double, 3>;
using Matrix = std::array<Triple, 3>;

/// How linear sRGB looks to a person who lacks one kind of cone: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A
/// physiologically-based model for simulation of color vision deficiency", IEEE Trans. Visualization and Computer
/// Graphics 15 (2009), table of severity 1.0.
constexpr Matrix kNormal{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
constexpr Matrix kProtan{
    {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}}};
constexpr Matrix kDeutan{
    {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}}};
constexpr Matrix kTritan{
    {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}}};
/// Linear sRGB to XYZ, D65 (IEC 61966-2-1).
constexpr Matrix kXyz{
    {{0.4124564, 0.3575761, 0.1804375}, {0.2126729, 0.7151522, 0.0721750}, {0.0193339, 0.1191920, 0.9503041}}};

Triple Times(const Matrix& m, const Triple& v) {
  Triple out{};
  for (std::size_t i = 0; i < 3; ++i) out[i] = m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2];
  return out;
}

double Linear(std::uint8_t code) {
  const double c = code / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

/// CIE L*a*b* 1976 (ISO/CIE 11664-4).
Triple Lab(const Rgb& rgb, const Matrix& seen_by) {
  Triple linear = Times(seen_by, {Linear(rgb.r), Linear(rgb.g), Linear(rgb.b)});
  for (double& c : linear) c = std::clamp(c, 0.0, 1.0);
  const Triple xyz = Times(kXyz, linear);
  const auto f = [](double t) { return t > 216.0 / 24389 ? std::cbrt(t) : (24389.0 / 27 * t + 16) / 116; };
  const double x = f(xyz[0] / 0.95047), y = f(xyz[1]), z = f(xyz[2] / 1.08883);
  return {116 * y - 16, 500 * (x - y), 200 * (y - z)};
}

double Apart(const Rgb& a, const Rgb& b, const Matrix& seen_by) {
  const Triple p = Lab(a, seen_by), q = Lab(b, seen_by);
  return std::hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]);
}

/// A difference of 2.3 is just noticed (Mahy, Van Eycken, Oosterlinck 1994); ten times that is plain at a glance, and
/// six times where a person lacks a kind of cone.
constexpr double kPlain = 23, kPlainToAll = 14;

TEST(Marks, EveryMeaningStandsOnceAndHasWords) {
  std::set<Means> once;
  std::set<std::string_view> words;
  for (const Mark& mark : Marks()) {
    EXPECT_TRUE(once.insert(mark.means).second) << mark.words;
    EXPECT_TRUE(words.insert(mark.words).second) << mark.words;
    EXPECT_FALSE(mark.words.empty());
    EXPECT_NE(mark.where, 0u) << mark.words;
  }
  EXPECT_EQ(once.size(), static_cast<std::size_t>(Means::kSeenLive) + 1);
}

TEST(Marks, NoColourHasTwoMeanings) {
  for (const Mark& a : Marks())
    for (const Mark& b : Marks())
      if (a.means < b.means) {
        EXPECT_GT(Apart(a.colour, b.colour, kNormal), kPlain) << a.words << " | " << b.words;
      }
}

TEST(Marks, MarksOfOnePatternStayApartForEveryKindOfColourBlindness) {
  for (const Mark& a : Marks())
    for (const Mark& b : Marks()) {
      if (!(a.means < b.means) || a.pattern != b.pattern) continue;
      for (const Matrix& eye : {kProtan, kDeutan, kTritan})
        EXPECT_GT(Apart(a.colour, b.colour, eye), kPlainToAll) << a.words << " | " << b.words;
    }
}

TEST(Marks, OnGreyPaperThePatternAloneTells) {
  std::set<Pattern> used;
  for (const Mark& mark : LegendOf(kOnPaper)) {
    if (mark.means == Means::kValue || mark.means == Means::kUncertainty) continue;  // of a figure of their own
    EXPECT_TRUE(used.insert(mark.pattern).second) << mark.words;
  }
}

TEST(Marks, WhatIsNotFusedStandsOutMoreThanWhatIs) {
  const Rgb dark{27, 29, 32}, light{253, 252, 250};  // the two grounds of the window
  for (const Rgb& ground : {light}) {
    EXPECT_GT(Apart(MarkOf(Means::kUnfused).colour, ground, kNormal),
              1.5 * Apart(MarkOf(Means::kFused).colour, ground, kNormal));
  }
  EXPECT_GT(Apart(MarkOf(Means::kUnfused).colour, dark, kNormal), Apart(MarkOf(Means::kFused).colour, dark, kNormal));
}

TEST(Rings, TheEndOneLooksFromIsTheOuterRing) {
  EXPECT_EQ(OnRing(Ring::kOuter, LookFrom::kA), Side::kA);
  EXPECT_EQ(OnRing(Ring::kInner, LookFrom::kA), Side::kB);
  EXPECT_EQ(OnRing(Ring::kOuter, LookFrom::kB), Side::kB);
  EXPECT_EQ(RingOf(Side::kB, LookFrom::kB), Ring::kOuter);
  EXPECT_EQ(RingName(Side::kB, "spool", "elbow"), "b: elbow");
}

TEST(Rings, TheNameStandsWhereTheRingIsFree) {
  std::vector<bool> busy(720, false);
  EXPECT_DOUBLE_EQ(NameAngle(busy, 60), 180);
  for (std::size_t i = 300; i < 420; ++i) busy[i] = true;  // 150 to 210 degrees
  const double middle = NameAngle(busy, 60);
  EXPECT_TRUE(middle + 30 <= 150 || middle - 30 >= 209.5) << middle;
}

TEST(Rings, LookingFromTheOtherEndIsAMirrorImage) {
  // A mark at 3 o'clock for somebody who looks along +z is at 9 o'clock for somebody who looks against it.
  EXPECT_DOUBLE_EQ(SeenDeg(90, LookFrom::kA), 90);
  EXPECT_DOUBLE_EQ(SeenDeg(90, LookFrom::kB), 270);
  EXPECT_DOUBLE_EQ(ThetaAt(SeenDeg(37, LookFrom::kB), LookFrom::kB), 37);
}

}  // namespace
}  // namespace app::marks
