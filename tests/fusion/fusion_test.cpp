#include "vision/fusion/fusion.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "tests/bead/strip_maker.h"
#include "vision/fusion/ends.h"
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

std::vector<char> Arc(std::size_t from, std::size_t to) {
  std::vector<char> v(720, 0);
  std::fill(v.begin() + static_cast<long>(from), v.begin() + static_cast<long>(to), char{1});
  return v;
}

TEST(Ends, AnArcThatEndsInRipplesStays) {
  const auto endless = vision::fusion::WithoutEnds(Marks(0.8), 0.67, Arc(100, 140));
  EXPECT_EQ(std::count(endless.begin(), endless.end(), 1), 0);
}

TEST(Ends, AnArcThatFadesAwayIsNotBelieved) {
  EXPECT_EQ(vision::fusion::WithoutEnds(Marks(0.15), 0.67, Arc(100, 140)), Arc(100, 140));
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
