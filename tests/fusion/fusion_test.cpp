#include "vision/fusion/fusion.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/bead/strip_maker.h"
#include "vision/fusion/ends.h"
#include "vision/fusion/shelf.h"
#include "vision/fusion/states.h"

namespace {

using tests::MadeStrip;
using vision::fusion::FindFusion;
using vision::fusion::Fusion;
using vision::fusion::FusionOptions;
using vision::fusion::State;

Fusion Read(const vision::unroll::Strip& strip, bool near_is_left = true) {
  vision::bead::ToeOptions to;
  to.near_is_left = near_is_left;
  const auto toes = vision::bead::FindToes(strip, to);
  EXPECT_TRUE(toes.ok());
  FusionOptions fo;
  fo.near_is_left = near_is_left;
  fo.insert_width_mm = 4.2;
  const auto f = FindFusion(strip, toes.value(), fo);
  EXPECT_TRUE(f.ok());
  return f.value();
}

long Count(const std::vector<State>& v, State s, int from = 0, int to = 720) {
  return std::count(v.begin() + from, v.begin() + to, s);
}

MadeStrip WithRing() {
  MadeStrip m;
  m.ring_from_deg = 200, m.ring_to_deg = 240;
  return m;
}

TEST(Fusion, FusedAllRoundHasNoRun) {
  const Fusion f = Read(MadeStrip{}.Make());
  EXPECT_TRUE(f.runs.empty());
  EXPECT_GT(Count(f.left, State::kFused), 648);
}

TEST(Fusion, FindsTheInsertAsLaid) {
  const Fusion f = Read(WithRing().Make());
  EXPECT_GT(Count(f.left, State::kUnfused, 404, 476), 66);
  EXPECT_EQ(Count(f.left, State::kUnfused, 0, 390) + Count(f.left, State::kUnfused, 490, 720), 0);
  ASSERT_FALSE(f.runs.empty());
  EXPECT_EQ(f.runs.front().side, "left");
  EXPECT_NEAR(f.runs.front().start_deg, 200, 3);
  EXPECT_NEAR(f.runs.front().end_deg, 240, 3);
  EXPECT_GT(f.runs.front().confidence, 0.5);
}

TEST(Fusion, ATightFitIsFoundByTheShelfItMakes) {
  MadeStrip m = WithRing();
  m.tight = true;
  const Fusion f = Read(m.Make());
  EXPECT_GT(Count(f.left, State::kUnfused, 404, 476), 60);
  EXPECT_EQ(Count(f.left, State::kFused, 400, 480), 0);
  EXPECT_EQ(Count(f.left, State::kUnfused, 0, 390) + Count(f.left, State::kUnfused, 490, 720), 0);
}

TEST(Fusion, WhereARunEndsNothingIsSaid) {
  const Fusion f = Read(WithRing().Make());
  const auto first = static_cast<int>(std::find(f.left.begin(), f.left.end(), State::kUnfused) - f.left.begin());
  ASSERT_GT(first, 10);
  EXPECT_EQ(Count(f.left, State::kFused, first - 4, first), 0);  // 2.5 mm are 4.8 lines at a radius of 60 mm
}

TEST(Fusion, AHiddenEdgeIsNeverCalledFused) {
  const Fusion f = Read(WithRing().Make());
  EXPECT_EQ(Count(f.right, State::kFused, 400, 480), 0);
}

TEST(Fusion, ConcaveRootIsNotAnOriginalEdge) {
  MadeStrip m;
  m.concave_from_deg = 60, m.concave_to_deg = 120;
  EXPECT_TRUE(Read(m.Make()).runs.empty());
}

TEST(Fusion, FromTheOtherSideTheSidesChangePlaces) {
  vision::unroll::Strip s = WithRing().Make();
  for (cv::Mat* part :
       {static_cast<cv::Mat*>(&s.image), static_cast<cv::Mat*>(&s.valid), static_cast<cv::Mat*>(&s.clipped)})
    cv::flip(*part, *part, 0);
  const Fusion mirrored = Read(s, false), straight = Read(WithRing().Make());
  EXPECT_EQ(mirrored.right, straight.left);
  EXPECT_EQ(mirrored.left, straight.right);
}

TEST(TwoStates, ARunAcrossTheCutIsOneAndASpikeIsNone) {
  std::vector<double> evidence(100, -2.0);
  for (const std::size_t i : {96, 97, 98, 99, 0, 1, 2, 3}) evidence[i] = 2;
  evidence[50] = 2;
  const auto s = vision::fusion::TwoStates(evidence, 4);
  EXPECT_EQ(std::count(s.begin(), s.end(), 1), 8);
  EXPECT_EQ(s[0], 1);
  EXPECT_EQ(s[99], 1);
  EXPECT_EQ(s[50], 0);
}

vision::fusion::Cues Marks(double ripple_outside) {
  vision::fusion::Cues c;
  c.near_ripple.assign(720, ripple_outside);
  c.edge.assign(720, 0.2);
  for (std::size_t i = 100; i < 140; ++i) c.near_ripple[i] = 0.1;
  return c;
}

vision::fusion::Shelf Level() {
  vision::fusion::Shelf s;
  s.inward.assign(720, 0.0);
  return s;
}

std::vector<char> Arc(std::size_t from, std::size_t to) {
  std::vector<char> v(720, 0);
  std::fill(v.begin() + static_cast<long>(from), v.begin() + static_cast<long>(to), char{1});
  return v;
}

TEST(Ends, AnArcThatEndsInRipplesStays) {
  const auto endless = vision::fusion::WithoutEnds(Marks(0.8), Level(), 0.67, Arc(100, 140));
  EXPECT_EQ(std::count(endless.begin(), endless.end(), 1), 0);
}

TEST(Ends, AnArcThatFadesAwayIsNotBelieved) {
  EXPECT_EQ(vision::fusion::WithoutEnds(Marks(0.15), Level(), 0.67, Arc(100, 140)), Arc(100, 140));
}

TEST(Ends, AnArcWhoseEdgeJumpsOutwardAtBothEndsStays) {
  auto shelf = Level();
  for (std::size_t i = 100; i < 140; ++i) shelf.inward[i] = 0.8;
  const auto endless = vision::fusion::WithoutEnds(Marks(0.15), shelf, 0.67, Arc(100, 140));
  EXPECT_EQ(std::count(endless.begin(), endless.end(), 1), 0);
  std::fill(shelf.inward.begin() + 140, shelf.inward.end(), 0.8);  // at one end only
  EXPECT_EQ(vision::fusion::WithoutEnds(Marks(0.15), shelf, 0.67, Arc(100, 140)), Arc(100, 140));
}

TEST(Ends, AnArcShorterThanItsTwoEndsIsNotBelieved) {
  auto marks = Marks(0.8);
  std::fill(marks.near_ripple.begin(), marks.near_ripple.end(), 0.8);
  std::fill(marks.near_ripple.begin() + 118, marks.near_ripple.begin() + 121, 0.1);  // ripples begin beside it
  EXPECT_EQ(vision::fusion::WithoutEnds(marks, Level(), 0.67, Arc(118, 121)), Arc(118, 121));
}

TEST(Ends, TwoAndAHalfMillimetresBesideARunBelongToNoState) {
  const auto beside = vision::fusion::BesideRuns(0.5, Arc(2, 30));
  EXPECT_EQ(std::count(beside.begin(), beside.end(), 1), 10);
  for (const std::size_t i : {717, 718, 719, 0, 1, 30, 31, 32, 33, 34}) EXPECT_EQ(beside[i], 1) << i;
}

/// One line of a ring as the independent renders show it: medians over both_00_unfused_mixed, look 1.
vision::fusion::Shelf OneRing() {
  vision::fusion::Shelf s;
  s.step = {0.12}, s.inward = {0.87}, s.wander = {0.03}, s.shade = {0.0}, s.top = {0.37}, s.ripple = {0.18};
  s.slope = {0.01}, s.lack = {0.25}, s.far_slope = {0.01}, s.far_ripple = {-0.03}, s.far_level = {0.0};
  return s;
}

TEST(Shelf, EverySignOfARingMustBeThere) {
  using vision::fusion::ShelfEvidence;
  EXPECT_GT(ShelfEvidence(OneRing(), 0), 1);
  const auto without = [](auto field, double value) {
    auto s = OneRing();
    s.*field = {value};
    return ShelfEvidence(s, 0);
  };
  using S = vision::fusion::Shelf;
  EXPECT_LT(without(&S::step, 0.02), -1);    // no step
  EXPECT_LT(without(&S::inward, 0.0), -1);   // where the bead's toe runs on
  EXPECT_LT(without(&S::wander, 0.25), -1);  // a wavy edge was melted
  EXPECT_LT(without(&S::shade, 0.15), -1);   // rises softly, as a bead does
  EXPECT_LT(without(&S::top, 0.7), -1);      // gloss of a sloping flank
  EXPECT_LT(without(&S::ripple, 1.0), -1);   // ripples
  EXPECT_LT(without(&S::slope, 0.13), -1);   // rounded
  EXPECT_LT(without(&S::lack, -0.15), -1);   // as bright as the bead
}

TEST(Shelf, TheFarEdgeIsSpokenOfOnlyWhereTheTopGoesOnCalmAndLevel) {
  using vision::fusion::FarShelfEvidence;
  EXPECT_GT(FarShelfEvidence(OneRing(), 0), 1);
  auto rippled = OneRing(), falling = OneRing(), rounded = OneRing();
  rippled.far_ripple = {0.7}, falling.far_level = {-0.2}, rounded.far_slope = {0.04};
  for (const auto& melted : {rippled, falling, rounded}) EXPECT_LT(FarShelfEvidence(melted, 0), -1);
}

TEST(Ends, AStainDoesNotSplitARun) {
  std::vector<char> v = Arc(100, 140);
  std::fill(v.begin() + 118, v.begin() + 122, char{0});
  vision::fusion::JoinRuns(Marks(0.8), 0.67, v);
  EXPECT_EQ(v, Arc(100, 140));
}

TEST(Ends, RunsBetweenWhichTheEdgeIsLostStayTwo) {
  std::vector<char> v = Arc(100, 140);
  std::fill(v.begin() + 118, v.begin() + 122, char{0});
  auto marks = Marks(0.8);
  std::fill(marks.edge.begin() + 118, marks.edge.begin() + 122, 0.0);
  vision::fusion::JoinRuns(marks, 0.67, v);
  EXPECT_EQ(std::count(v.begin(), v.end(), 1), 36);
}

}  // namespace
