#include "app/notes/notes.h"

#include <gmock/gmock.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>

#include "app/notes/keeper.h"
#include "app/notes/kinds.h"

namespace app::notes {
namespace {

using testing::HasSubstr;
namespace fs = std::filesystem;
using vision::reading::Fusion;

/// A bore of 360 mm circumference: one degree is one millimetre of arc.
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
    r.profile.left_toe_u_mm[i] = r.profile.right_toe_u_mm[i] = 0.4;
    r.profile.width_mm[i] = 5, r.profile.width_u_mm[i] = 0.5;
    r.profile.fusion_left[i] = r.profile.fusion_right[i] = Fusion::kFused;
  }
  for (std::size_t i = 700; i < 740; ++i) r.profile.fusion_left[i % 720] = Fusion::kUnfused;
  r.unfused.push_back({350, 10, "left", 0.8, 20, 0.6, ""});
  return r;
}

Note Of(Shape shape, std::vector<Place> points, std::string kind = "crack") {
  return {
      1, shape, std::move(kind), std::move(points), "seen", Status::kOpen, "", {"R. Example", "2026-01-31T10:00:00Z"}};
}

TEST(Notes, RoundTripKeepsEverything) {
  Notes notes;
  notes.joint_id = "LX-114";
  notes.notes = {Of(Shape::kOutline, {{359.875, -1.5}, {0.25, 2}, {1, -3.125}}), Of(Shape::kText, {{12, 3}}, "remark")};
  notes.notes[1].id = 7;
  notes.notes[1].status = Status::kRejected, notes.notes[1].reason = "dirt, wiped away";
  notes.rulings = {{"unfused left 350-10", true, "looked at abeam", {"R. Example", "2026-01-31T10:01:00Z"}}};
  notes.toes = {
      {"right", {{350, 2.5}, {370, 3}}, {"R. Example", "2026-01-31T10:02:00Z"}, "glint", {{{350, 2.6}, {370, 3.1}}}}};
  const auto back = FromJson(ToJson(notes), "x.notes.json");
  ASSERT_TRUE(back.ok()) << back.error().message;
  EXPECT_TRUE(back.value() == notes);
  EXPECT_DOUBLE_EQ(back.value().notes[0].points[0].theta_deg, 359.875);  // degrees and mm, no pixels
  EXPECT_EQ(back.value().NextId(), 8);
}

TEST(Notes, RefusesWhatIsWrongInOneSentence) {
  const auto broken = [](const std::string& from, const std::string& to) {
    Notes notes;
    notes.notes = {Of(Shape::kPoint, {{1, 2}})};
    std::string text = ToJson(notes);
    text.replace(text.find(from), from.size(), to);
    const auto result = FromJson(text, "x.notes.json");
    return result.ok() ? std::string("accepted") : result.error().message;
  };
  EXPECT_THAT(broken("rootscroll.notes/1", "rootscroll.notes/9"), HasSubstr("rootscroll.notes/1"));
  EXPECT_THAT(broken("\"crack\"", "\"dragon\""), HasSubstr("dragon"));
  EXPECT_THAT(broken("\"point\"", "\"box\""), HasSubstr("cannot have 1 points"));
  EXPECT_THAT(broken("\"open\"", "\"rejected\""), HasSubstr("needs a reason"));
  EXPECT_THAT(broken("1.0", "\"x\""), HasSubstr("theta_deg must be a number"));
  EXPECT_FALSE(FromJson("{", "x.notes.json").ok());
}

TEST(Extent, OfALineAcrossThetaZeroIsItsLengthOnTheWall) {
  // 3 mm of arc and 4 mm along the axis: 5 mm (Pythagoras on the flat wall).
  const auto extent = ExtentOf(Of(Shape::kLine, {{358.5, 0}, {1.5, 4}}), Measured());
  EXPECT_NEAR(extent.length_mm, 5, 1e-9);
  // One source pixel of 0.3 mm at either end, rectangular: 0.3 / sqrt 3 each.
  EXPECT_NEAR(extent.length_u_mm, 0.3 * std::sqrt(2.0 / 3.0), 1e-9);
  EXPECT_TRUE(std::isnan(extent.width_mm));
}

TEST(Extent, OfBoxAndOutline) {
  const auto box = ExtentOf(Of(Shape::kBox, {{359, 1}, {5, -1.5}}), Measured());
  EXPECT_NEAR(box.length_mm, 6, 1e-9);
  EXPECT_NEAR(box.width_mm, 2.5, 1e-9);
  // A rectangle of 8 x 6 mm: diagonal 10; across it the two other corners lie 2 * 48 / 10 apart.
  const auto outline = ExtentOf(Of(Shape::kOutline, {{356, 0}, {364, 0}, {364, 6}, {356, 6}}), Measured());
  EXPECT_NEAR(outline.length_mm, 10, 1e-9);
  EXPECT_NEAR(outline.width_mm, 9.6, 1e-9);
  EXPECT_TRUE(std::isnan(ExtentOf(Of(Shape::kPoint, {{1, 1}}), Measured()).length_mm));
}

TEST(Extent, CarriesTheScalesUncertainty) {
  auto reading = Measured();
  reading.bore_radius_u_mm = 0.1 * reading.bore_radius_mm;  // 10 % of every length
  const auto extent = ExtentOf(Of(Shape::kLine, {{0, 0}, {50, 0}}), reading);
  EXPECT_NEAR(extent.length_u_mm, std::hypot(5.0, 0.3 * std::sqrt(2.0 / 3.0)), 1e-9);
}

TEST(Edited, AToeByHandMovesTheWidthOnlyOverItsStretch) {
  Notes notes;
  notes.toes = {{"left", {{355, -3.5}, {365, -4.5}}, {"R. Example", "t"}}};
  const auto edited = Edited(Measured(), notes);
  EXPECT_NEAR(edited.profile.width_mm[710], 6, 1e-9);  // 355 degrees: 2.5 + 3.5
  EXPECT_NEAR(edited.profile.width_mm[0], 6.5, 1e-9);  // half way: -4.0
  EXPECT_NEAR(edited.profile.width_mm[10], 7, 1e-9);   // 5 degrees
  EXPECT_NEAR(edited.profile.width_mm[12], 5, 1e-9);
  EXPECT_NEAR(edited.profile.width_mm[708], 5, 1e-9);
  EXPECT_NEAR(edited.profile.right_toe_z_mm[0], 2.5, 1e-9);
  ASSERT_FALSE(edited.flags.empty());
  EXPECT_EQ(edited.flags[0].kind, "by_hand");
  EXPECT_THAT(EnglishOf(edited.flags[0].text), HasSubstr("R. Example"));
  // u: the hand's click 0.3 / sqrt 3 and assumed 0.4, and the other toe's own part, 0.4 without what both share
  // (0.3 / sqrt 2).
  EXPECT_NEAR(edited.profile.width_u_mm[0], std::sqrt(0.03 + 0.4 * 0.4 + 0.4 * 0.4 - 0.045), 1e-9);
}

TEST(Edited, AToeByHandGivesAWidthWhereThereWasNoneAndTakesItsReasonAway) {
  auto reading = Measured();
  for (std::size_t i = 100; i <= 140; ++i)
    reading.profile.right_toe_z_mm[i] = reading.profile.width_mm[i] = vision::reading::kNotMeasured;
  reading.why.push_back({"width_mm", 50, 70.5, vision::SentenceFrom("the far toe is hidden")});
  Notes notes;
  notes.toes = {{"right", {{55, 2}, {60, 2}}, {"R. Example", "t"}}};
  const auto edited = Edited(reading, notes);
  EXPECT_NEAR(edited.profile.width_mm[115], 4.5, 1e-9);
  ASSERT_EQ(edited.why.size(), 2u);  // before and after the stretch
  EXPECT_NEAR(edited.why[0].end_deg, 55, 1e-9);
  EXPECT_NEAR(edited.why[1].start_deg, 60.5, 1e-9);
}

TEST(Edited, AnOverruledRunStaysInWhatWasMeasuredAndIsNeverCalledFused) {
  const auto measured = Measured();
  Notes notes;
  notes.rulings = {{FingerprintOf(measured.unfused[0]), true, "looked at abeam", {"R. Example", "t"}}};
  const auto edited = Edited(measured, notes);
  EXPECT_EQ(edited.unfused.size(), 1u);
  EXPECT_EQ(edited.profile.fusion_left[0], Fusion::kUnfused);
}

/// Five placings of one stretch: at every degree z is one of these, a sample of s = 0.2 mm (below).
HandToe PlacedFiveTimes() {
  HandToe toe{"left", {{10, -2.5}, {20, -2.5}}, {"R. Example", "t"}, "the lamp's glint was taken for it"};
  for (const double off : {-0.3, -0.1, 0.1, 0.3}) toe.again.push_back({{10, -2.5 + off}, {20, -2.5 + off}});
  return toe;
}

TEST(HandU, IsNamedAnAssumptionUntilTheSameStretchWasPlacedFiveTimes) {
  auto toe = PlacedFiveTimes();
  const double click = 0.3 / std::sqrt(3.0);
  // s of -0.3, -0.1, 0, 0.1, 0.3 about their mean 0: sqrt((0.09 + 0.01 + 0 + 0.01 + 0.09) / 4) (JCGM 100:2008, 4.2.2).
  const auto repeated = HandUOf(toe, Measured());
  EXPECT_FALSE(repeated.assumed);
  EXPECT_EQ(repeated.placings, 5);
  EXPECT_NEAR(repeated.u_mm, std::hypot(click, std::sqrt(0.2 / 4)), 1e-9);
  toe.again.pop_back();
  const auto assumed = HandUOf(toe, Measured());
  EXPECT_TRUE(assumed.assumed);
  EXPECT_NEAR(assumed.u_mm, std::hypot(click, HandOptions().assumed_u_mm), 1e-9);
  EXPECT_GT(assumed.u_mm, Measured().profile.left_toe_u_mm[20]);  // a hand does not make it surer than measured
}

TEST(HandU, AToeMadeAnewNeedsAReason) {
  auto toe = PlacedFiveTimes();
  EXPECT_FALSE(Check(toe).has_value());
  toe.reason.clear();
  ASSERT_TRUE(Check(toe).has_value());
  EXPECT_THAT(Check(toe)->message, HasSubstr("reason"));
  EXPECT_FALSE(Check(toe, false).has_value());
}

TEST(Edited, AnAcceptedNoteCountsAndAnOpenOneDoesNot) {
  Notes notes;
  notes.notes = {Of(Shape::kLine, {{358, 1}, {4, 1}})};
  EXPECT_TRUE(Edited(Measured(), notes).indications.empty());
  notes.notes[0].status = Status::kAccepted;
  const auto edited = Edited(Measured(), notes);
  ASSERT_EQ(edited.indications.size(), 1u);
  EXPECT_EQ(edited.indications[0].kind, "crack");
  EXPECT_NEAR(edited.indications[0].length_mm, 6, 1e-9);
  EXPECT_NEAR(edited.indications[0].theta_deg, 1, 1e-9);
}

TEST(Edited, AnAcceptedUnfusedEdgeJoinsTheRuns) {
  Notes notes;
  notes.notes = {Of(Shape::kLine, {{100, 2.4}, {110, 2.4}}, "lack_of_root_fusion")};
  notes.notes[0].status = Status::kAccepted;
  const auto edited = Edited(Measured(), notes);
  ASSERT_EQ(edited.unfused.size(), 2u);
  EXPECT_EQ(edited.unfused[1].side, "right");
  EXPECT_NEAR(edited.unfused[1].arc_mm, 10, 1e-9);
  EXPECT_EQ(edited.profile.fusion_right[210], Fusion::kUnfused);
  EXPECT_EQ(edited.profile.fusion_right[222], Fusion::kFused);
}

TEST(Kinds, CarryTheNumbersOfIso6520) {
  // ISO 6520-1 numbers as a digest gives them: 2017 surface pore, 5013 shrinkage groove, 510 burn-through, 515 root
  // concavity, 517 poor restart, 4021 incomplete root penetration.
  const std::pair<const char*, const char*> known[] = {
      {"surface_pore", "2017"},  {"shrinkage_groove", "5013"}, {"burn_through", "510"},
      {"root_concavity", "515"}, {"poor_restart", "517"},      {"incomplete_root_penetration", "4021"}};
  for (const auto& [id, number] : known) {
    ASSERT_TRUE(FindKind(id)) << id;
    EXPECT_EQ(FindKind(id)->iso6520, number) << id;
  }
}

class KeeperFiles : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("keeper-" + std::to_string(::getpid()));
    fs::create_directories(folder_);
  }
  void TearDown() override { fs::remove_all(folder_); }
  Notes Some() const {
    Notes notes;
    notes.joint_id = "J-1";
    notes.notes = {Of(Shape::kPoint, {{10, 1}})};
    return notes;
  }
  fs::path folder_;
};

TEST_F(KeeperFiles, UnsavedChangesComeBackAndSavingEndsThem) {
  const Keeper keeper(folder_ / "joint.json");
  ASSERT_FALSE(keeper.KeepUnsaved(Some()));
  auto opened = Keeper(folder_ / "joint.json").Open("J-1");
  ASSERT_TRUE(opened.ok());
  EXPECT_TRUE(opened.value().recovered);
  EXPECT_TRUE(opened.value().notes == Some());
  ASSERT_FALSE(keeper.Save(Some()));
  opened = keeper.Open("J-1");
  EXPECT_FALSE(opened.value().recovered);
  EXPECT_TRUE(opened.value().notes == Some());
  EXPECT_FALSE(fs::exists(keeper.unsaved()));
}

TEST_F(KeeperFiles, ADamagedUnsavedFileIsPutAsideAndTheSavedOneHolds) {
  const Keeper keeper(folder_ / "joint.json");
  ASSERT_FALSE(keeper.Save(Some()));
  std::ofstream(keeper.unsaved()) << "{ \"format\": \"rootscroll.no";  // as a power cut may leave it
  const auto opened = keeper.Open("J-1");
  ASSERT_TRUE(opened.ok());
  EXPECT_FALSE(opened.value().recovered);
  EXPECT_TRUE(opened.value().notes == Some());
  EXPECT_THAT(opened.value().remark, HasSubstr("put aside"));
  EXPECT_TRUE(fs::exists(keeper.unsaved().string() + ".damaged"));
}

}  // namespace
}  // namespace app::notes
