#include "vision/bead/toes.h"

#include <gtest/gtest.h>

#include <vector>

#include "tests/bead/strip_maker.h"
#include "vision/bead/edge.h"
#include "vision/bead/path.h"

namespace {

using tests::MadeStrip;
using vision::bead::BeadToes;
using vision::bead::FindToes;
using vision::bead::ToeLine;
using vision::bead::ToeOptions;

double At(std::vector<double> v, double share) {
  std::sort(v.begin(), v.end());
  return v.empty() ? 1e9 : v[static_cast<std::size_t>(share * static_cast<double>(v.size() - 1))];
}

template <class Want>
std::vector<double> Errors(const ToeLine& toe, Want want, double from = 0, double to = 360) {
  std::vector<double> out;
  for (int i = 0; i < 720; ++i)
    if (i * 0.5 >= from && i * 0.5 < to && toe.visible[static_cast<std::size_t>(i)])
      out.push_back(std::abs(toe.z_mm[static_cast<std::size_t>(i)] - want(i * 0.5)));
  return out;
}

BeadToes Find(const MadeStrip& m, const ToeOptions& o = {}) {
  const auto r = FindToes(m.Make(), o);
  EXPECT_TRUE(r.ok()) << (r.ok() ? "" : r.error().message);
  return r.ok() ? r.value() : BeadToes{};
}

void ExpectToes(const MadeStrip& m, const BeadToes& t) {
  const auto l = Errors(t.left, [&](double a) { return m.Left(a); });
  const auto r = Errors(t.right, [&](double a) { return m.Right(a); });
  EXPECT_GT(l.size(), 700u);
  EXPECT_GT(r.size(), 650u);
  EXPECT_LT(At(l, 0.95), 0.25);
  EXPECT_LT(At(r, 0.95), 0.30);
}

TEST(Toes, FollowsAWanderingBead) {
  const MadeStrip m;
  ExpectToes(m, Find(m));
}

TEST(Toes, HeatTintDoesNotAttract) {
  MadeStrip m;
  m.tint = true;
  ExpectToes(m, Find(m));
}

TEST(Toes, DarkPatchBesideTheToeIsNoBead) {
  MadeStrip m;
  m.patch_from_deg = 100, m.patch_to_deg = 108;
  const BeadToes t = Find(m);
  const auto l = Errors(
      t.left, [&](double a) { return m.Left(a); }, 99, 109);
  const auto r = Errors(
      t.right, [&](double a) { return m.Right(a); }, 99, 109);
  EXPECT_GT(l.size(), 15u);
  EXPECT_LT(At(l, 1), 0.5);
  EXPECT_LT(At(r, 1), 0.8);
}

TEST(Toes, ClosedWhereTheCircleIsCut) {
  const MadeStrip m;
  const BeadToes t = Find(m);
  EXPECT_LT(std::abs(t.left.z_mm[0] - t.left.z_mm[719]), 0.2);
}

TEST(Toes, ConcaveArcTurnsLightAndShadeRound) {
  MadeStrip m;
  m.concave_from_deg = 100, m.concave_to_deg = 160;
  const BeadToes t = Find(m);
  EXPECT_LT(At(Errors(
                   t.left, [&](double a) { return m.Left(a); }, 105, 155),
               0.9),
            0.4);
  EXPECT_LT(At(Errors(
                   t.right, [&](double a) { return m.Right(a); }, 105, 155),
               0.9),
            0.4);
}

// A concave root can go over into the wall with no edge. Without one the bead's usual width tells more than the first
// faint edge further in (without it the median error here is 1.2 mm).
TEST(Toes, APaleArcDoesNotNarrowTheBead) {
  MadeStrip m;
  m.pale_from_deg = 100, m.pale_to_deg = 160;
  const BeadToes t = Find(m);
  EXPECT_LT(At(Errors(
                   t.left, [&](double a) { return m.Left(a); }, 110, 150),
               0.5),
            0.8);
}

TEST(Toes, BlownOutBeadStillHasEdges) {
  MadeStrip m;
  m.light = 2.2;
  const auto l = Errors(Find(m).left, [&](double a) { return m.Left(a); });
  EXPECT_LT(At(l, 0.95), 0.3);
}

TEST(Toes, BareBoreHasNoWeld) {
  MadeStrip m;
  m.bead = false;
  for (const bool tint : {false, true}) {
    m.tint = tint;
    const auto r = FindToes(m.Make(), {});
    ASSERT_FALSE(r.ok());
    EXPECT_EQ(r.error().code, vision::ErrorCode::kNotFound);
  }
}

TEST(Toes, FromTheOtherSideIsTheMirrorImageAndTheStripIsLeftAlone) {
  MadeStrip m;
  vision::unroll::Strip s = m.Make();
  cv::flip(s.image, s.image, 0);
  cv::flip(s.valid, s.valid, 0);
  cv::flip(s.clipped, s.clipped, 0);
  const cv::Mat3b before = s.image.clone();
  ToeOptions o;
  o.near_is_left = false;
  const auto r = FindToes(s, o);
  ASSERT_TRUE(r.ok());
  EXPECT_EQ(cv::norm(before, s.image, cv::NORM_INF), 0);
  const BeadToes straight = Find(m);
  for (std::size_t i = 0; i < 720; ++i) {
    EXPECT_NEAR(r.value().right.z_mm[i], -straight.left.z_mm[i], 1e-6);
  }
}

// A far toe in faint shade on a dirty wall: one station line alone is mostly noise, the line over a few mm of arc is
// not.
TEST(Toes, AFaintFarToeIsStatedByWhatItsNeighboursShow) {
  MadeStrip m;
  m.far_shade = 0.88, m.dirt = 0.12;
  const BeadToes t = Find(m);
  const auto r = Errors(t.right, [&](double a) { return m.Right(a); });
  const auto l = Errors(t.left, [&](double a) { return m.Left(a); });
  EXPECT_GT(r.size(), 700u);
  EXPECT_LT(At(r, 0.95), 0.45);
  EXPECT_LT(At(l, 0.95), 0.2);
}

// A far side as bright as the wall shows its toe only by the wall's lines, which end there; one station line alone says
// so here and not there.
TEST(Toes, AFarToeWithoutShadeIsNotStatedInCrumbs) {
  MadeStrip m;
  m.far_shade = 1, m.dirt = 0.05;
  const BeadToes t = Find(m);
  int crumbs = 0;
  for (std::size_t i = 0; i < 720; ++i) crumbs += t.right.visible[i] && !t.right.visible[(i + 1) % 720];
  EXPECT_LT(crumbs, 28);  // 38 when every line must speak for itself
  EXPECT_GT(Errors(t.right, [&](double a) { return m.Right(a); }).size(), 600u);
}

TEST(Toes, TogetherKeepsAStepAndDropsAStray) {
  vision::bead::Features f;
  f.line_mm = 0.67;
  vision::bead::Edge e;
  for (int i = 0; i < 720; ++i) e.row.push_back(i >= 200 && i < 300 ? 50.0 : 40.0);
  e.row[100] = 60;
  e.step.assign(720, 0.2);
  e.step[0] = 1.1;
  const std::vector<char> full(720, 0);
  const auto together = vision::bead::EdgeOfHalves(f, e, full, 2.5, {});
  EXPECT_EQ(together.row[100], 40);
  EXPECT_EQ(together.row[199], 40);
  EXPECT_EQ(together.row[200], 50);
  EXPECT_EQ(together.row[299], 50);
  EXPECT_NEAR(together.step[719], 0.3, 1e-9);  // 0.9 more over nine lines, across the seam
  EXPECT_NEAR(together.step[4], 0.3, 1e-9);
  EXPECT_NEAR(together.step[5], 0.2, 1e-9);
  const auto narrow = vision::bead::EdgeOfHalves(f, e, full, 0.6, {});  // the row before, its own, the row after
  EXPECT_EQ(narrow.row[100], 40);
  EXPECT_EQ(narrow.row[200], 50);
  std::vector<char> hollow = full;
  hollow[0] = 1;
  const auto apart = vision::bead::EdgeOfHalves(f, e, hollow, 2.5, {});
  EXPECT_NEAR(apart.step[1], 0.2, 1e-9) << "a hollow line's step is not its neighbours'";
  EXPECT_NEAR(apart.step[0], 1.1, 1e-9);
}

TEST(Toes, TogetherLetsAToeWanderOnlyALittle) {
  vision::bead::Features f;
  f.line_mm = 0.4, f.pitch_mm = 0.1;
  vision::bead::Edge e;
  e.row.assign(720, 40.0), e.step.assign(720, 0.2);
  for (std::size_t i = 100; i < 103; ++i) e.row[i] = 42;  // 0.2 mm over 1.2 mm of arc: a toe's own
  for (std::size_t i = 300; i < 303; ++i) e.row[i] = 45;  // 0.5 mm: another edge
  const auto together = vision::bead::EdgeOfHalves(f, e, std::vector<char>(720, 0), 0.4, {});
  EXPECT_EQ(together.row[101], 42);
  EXPECT_EQ(together.row[301], 40);
}

// Dark near half, bright far half: what a hollow root looks like under a lamp beside the lens (common practice of
// reading such pictures, no source). The bright half ends at the toe, not where a crown's shade would.
TEST(Toes, AHollowRootIsToldFromAFullOneAndEndsWhereItsBrightHalfEnds) {
  MadeStrip m;
  m.concave_from_deg = 100, m.concave_to_deg = 125, m.concave_narrower_mm = 0.8, m.dirt = 0.06, m.drawing = 0;
  const BeadToes t = Find(m);
  ASSERT_EQ(t.hollow.size(), 720u);
  for (int i = 0; i < 720; ++i) {
    const double theta_deg = 0.5 * i;
    if (theta_deg < 96 || theta_deg > 129) {
      EXPECT_FALSE(t.hollow[static_cast<std::size_t>(i)]) << theta_deg;
    }
    if (theta_deg > 104 && theta_deg < 121) {
      EXPECT_TRUE(t.hollow[static_cast<std::size_t>(i)]) << theta_deg;
    }
  }
  const auto far = Errors(
      t.right, [&](double a) { return m.Right(a); }, 104, 121);
  const auto near = Errors(
      t.left, [&](double a) { return m.Left(a); }, 104, 121);
  EXPECT_EQ(far.size(), 34u);
  EXPECT_LT(At(far, 0.95), 0.12);
  EXPECT_LT(At(near, 0.95), 0.2);
}

TEST(Toes, AnUnfusedInsertIsNotHollow) {
  MadeStrip m;
  m.ring_from_deg = 200, m.ring_to_deg = 300;
  const BeadToes t = Find(m);
  EXPECT_EQ(std::count(t.hollow.begin(), t.hollow.end(), 1), 0);
}

TEST(Toes, RefusesOptionsThatMakeNoSense) {
  ToeOptions o;
  o.radius_mm = 0;
  EXPECT_TRUE(o.Check().has_value());
  o = {};
  o.finder.insert_mm = -1;
  EXPECT_FALSE(FindToes(MadeStrip{}.Make(), o).ok());
  o = {};
  o.far_even_mm = 0;
  EXPECT_TRUE(o.Check().has_value());
}

TEST(ClosedPath, EndsWhereItBegan) {
  cv::Mat1f cost(30, 200, 1.0f);
  for (int c = 0; c < 200; ++c) cost(static_cast<int>(std::lround(12 + 6 * std::sin(c * 2 * CV_PI / 200 + 1))), c) = 0;
  const auto path = vision::bead::ClosedPath(cost, 0.1, 3);
  ASSERT_EQ(path.size(), 200u);
  EXPECT_LE(std::abs(path.front() - path.back()), 1);
  int hit = 0;
  for (int c = 0; c < 200; ++c) hit += cost(path[static_cast<std::size_t>(c)], c) == 0;
  EXPECT_GT(hit, 190);
}

}  // namespace
