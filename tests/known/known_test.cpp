#include "app/known/known.h"

#include <gmock/gmock.h>

#include <numbers>

#include "app/joint/criteria.h"

namespace app::known {
namespace {

using testing::HasSubstr;
using vision::reading::Fusion;

/// A bore of 360 mm circumference, all fused but 350 to 10 on a and 100 to 104 on b; b not visible from 200 to 210.
vision::reading::Reading Measured() {
  vision::reading::Reading r;
  r.bore_radius_mm = 180 / std::numbers::pi;
  r.bore_radius_u_mm = 0;
  r.weld_found = true;
  r.piece_a = "spool", r.piece_b = "elbow";
  r.strip.resolution_mm = 0.3, r.strip.pitch_mm = 0.1;
  r.profile.Resize(720);
  for (std::size_t i = 0; i < 720; ++i) {
    r.profile.left_toe_z_mm[i] = -2.5, r.profile.right_toe_z_mm[i] = 2.5;
    r.profile.left_toe_u_mm[i] = r.profile.right_toe_u_mm[i] = 0.3;
    r.profile.fusion_left[i] = r.profile.fusion_right[i] = Fusion::kFused;
  }
  for (std::size_t i = 700; i < 740; ++i) r.profile.fusion_left[i % 720] = Fusion::kUnfused;
  for (std::size_t i = 200; i < 208; ++i) r.profile.fusion_right[i] = Fusion::kUnfused;
  for (std::size_t i = 400; i < 420; ++i) r.profile.fusion_right[i] = Fusion::kNotVisible;
  r.unfused = {{350, 10, "left", 0.8, 20, 0.6, ""}, {100, 104, "right", 0.9, 4, 0.6, ""}};
  return r;
}

notes::Notes OverruledFirst() {
  notes::Notes notes;
  notes.rulings = {
      {notes::FingerprintOf(Measured().unfused[0]), true, "looked at abeam", {"R. Example", "2026-01-31T10:00:00Z"}}};
  return notes;
}

TEST(Known, WhatWasOverruledIsStillMeasuredAndSaysWhoWhenWhy) {
  const auto known = Know(Measured(), OverruledFirst());
  ASSERT_EQ(known.runs.size(), 2u);
  EXPECT_TRUE(known.runs[0].measured && known.runs[0].overruled());
  EXPECT_FALSE(known.runs[1].overruled());
  EXPECT_EQ(Said(*known.runs[0].decided), "overruled by R. Example, 2026-01-31T10:00:00Z: looked at abeam");
  EXPECT_EQ(known.edges_a[719], Edge::kOverruled);
  EXPECT_EQ(known.edges_a[699], Edge::kFused);
  EXPECT_EQ(known.edges_b[200], Edge::kUnfused);
  EXPECT_EQ(known.edges_b[400], Edge::kNotVisible);
  EXPECT_EQ(known.measured.profile.fusion_left[0], Fusion::kUnfused);
  EXPECT_EQ(known.OverruledCount(), 1u);
}

TEST(Known, NoLineOfAnOverruledRunIsEverCalledFused) {
  const auto known = Know(Measured(), OverruledFirst());
  for (std::size_t i = 0; i < 720; ++i)
    if (known.measured.profile.fusion_left[i] == Fusion::kUnfused) {
      EXPECT_EQ(known.edges_a[i], Edge::kOverruled) << i;
      EXPECT_EQ(known.decided.profile.fusion_left[i], Fusion::kUnfused) << i;
    }
}

TEST(Known, WhatAPersonSawIsBesideWhatWasMeasuredAndMarkedAsTheirs) {
  notes::Notes notes;
  notes.notes = {
      {1,
       notes::Shape::kLine,
       "lack_of_root_fusion",
       {{195, 2.4}, {215, 2.4}},
       "",
       notes::Status::kAccepted,
       "edge in the lamp's light",
       {"R. Example", "t"}},
      {2, notes::Shape::kPoint, "surface_pore", {{30, 0}}, "", notes::Status::kOpen, "", {"B. Example", "t"}}};
  const auto known = Know(Measured(), notes);
  ASSERT_EQ(known.runs.size(), 3u);
  EXPECT_FALSE(known.runs[2].measured);
  EXPECT_EQ(known.runs[2].decided->why, "edge in the lamp's light");
  EXPECT_EQ(known.edges_b[395], Edge::kUnfusedByHand);
  EXPECT_EQ(known.edges_b[410], Edge::kUnfusedByHand);
  EXPECT_EQ(known.measured.profile.fusion_right[410], Fusion::kNotVisible);
  ASSERT_EQ(known.seen.size(), 2u);  // the open one too
  EXPECT_TRUE(known.seen[0].judged);
  EXPECT_FALSE(known.seen[1].judged);
  EXPECT_EQ(known.seen[1].iso6520, "2017");
}

TEST(Known, AToeByHandKeepsTheMeasuredToeAndIsFlagged) {
  notes::Notes notes;
  notes.toes = {{"left", {{355, -3.5}, {365, -3.5}}, {"R. Example", "t"}, "glint"}};
  const auto known = Know(Measured(), notes);
  EXPECT_DOUBLE_EQ(known.measured.profile.left_toe_z_mm[0], -2.5);
  EXPECT_DOUBLE_EQ(known.decided.profile.left_toe_z_mm[0], -3.5);
  EXPECT_GT(known.decided.profile.left_toe_u_mm[0], known.measured.profile.left_toe_u_mm[0]);
  EXPECT_TRUE(known.by_hand_a[0] && known.by_hand_a[710] && known.by_hand_a[10]);
  EXPECT_FALSE(known.by_hand_a[11] || known.by_hand_b[0]);
  EXPECT_EQ(Said(known.toes[0].decided), "set by hand by R. Example, t: glint");
  EXPECT_TRUE(known.toes[0].u.assumed);
}

TEST(Known, ARulingOnWhatIsNoLongerMeasuredIsShownAsLost) {
  auto notes = OverruledFirst();
  notes.rulings[0].about = "unfused left 90-95";
  const auto known = Know(Measured(), notes);
  ASSERT_EQ(known.lost.size(), 1u);
  EXPECT_EQ(known.OverruledCount(), 0u);
}

TEST(Known, SaysWhereItIsKept) {
  EXPECT_EQ(Said(Recorded{}), "not saved");
  EXPECT_EQ(Said(Recorded{Recorded::Where::kBook, "R1", 4}), "in the joint book, R1, revision 4");
}

joint::CriteriaSet FusionOnly() {
  joint::CriteriaSet set;
  set.name = "test";
  joint::Rule rule;
  rule.id = "insert", rule.title = "Unfused consumable insert (original edge visible)";
  rule.judged = joint::Judged::kYes;
  rule.measures = joint::Measures::kInsertFusion;
  joint::LimitRow row;
  row.not_permitted = true;
  rule.limits = {row};
  set.rules = {rule};
  return set;
}

joint::Joint SomeJoint() {
  joint::Joint joint;
  joint.a.name = "spool", joint.b.name = "elbow";
  return joint;
}

TEST(JudgeKnown, AnOverruledRunIsAFindingOfItsOwnWithNameAndReason) {
  auto reading = Measured();
  reading.coverage_deg = {360, 360, 360};
  for (auto& state : reading.profile.fusion_right)
    if (state == Fusion::kNotVisible) state = Fusion::kFused;
  const auto verdict = Judge(Know(reading, OverruledFirst()), SomeJoint(), FusionOnly());
  int overruled = 0, beyond = 0;
  for (const auto& finding : verdict.findings) {
    if (finding.outcome == joint::Outcome::kOverruled) {
      ++overruled;
      EXPECT_THAT(EnglishOf(finding.reason),
                  HasSubstr("overruled by R. Example, 2026-01-31T10:00:00Z: looked at abeam"));
      EXPECT_THAT(EnglishOf(finding.reason), HasSubstr("350.0 to 10.0 degrees"));
    }
    beyond += finding.outcome == joint::Outcome::kBeyond ? 1 : 0;
  }
  EXPECT_EQ(overruled, 1);
  EXPECT_EQ(beyond, 1);  // the other run is still judged
  ASSERT_FALSE(verdict.notes.empty());
  EXPECT_THAT(EnglishOf(verdict.notes[0]), HasSubstr("overruled by a person: 1"));
}

TEST(JudgeKnown, WithEveryRunOverruledTheDispositionSaysThatItRestsOnAPerson) {
  auto reading = Measured();
  reading.coverage_deg = {360, 360, 360};
  for (auto& state : reading.profile.fusion_right)
    if (state == Fusion::kNotVisible) state = Fusion::kFused;
  auto notes = OverruledFirst();
  notes.rulings.push_back({notes::FingerprintOf(reading.unfused[1]), true, "a scratch", {"R. Example", "t"}});
  const auto verdict = Judge(Know(reading, notes), SomeJoint(), FusionOnly());
  EXPECT_EQ(verdict.disposition, "proposed: within");
  EXPECT_THAT(EnglishOf(verdict.notes[0]), HasSubstr("overruled by a person: 2"));
  const auto back = joint::VerdictFromJson(joint::ToJson(verdict), "verdict.json");
  ASSERT_TRUE(back.ok());
  EXPECT_EQ(back.value().findings[0].outcome, joint::Outcome::kOverruled);
}

}  // namespace
}  // namespace app::known
