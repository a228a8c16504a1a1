#include <gmock/gmock.h>

#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>
#include <random>

#include "app/joint/verdict.h"

namespace app::joint {
namespace {

using ::testing::HasSubstr;
using ::testing::Not;
using vision::reading::Fusion;
using vision::reading::Indication;
using vision::reading::Reading;

constexpr std::size_t kLines = 720;

Joint SixInch() {
  Joint joint;
  joint.material = "316L";
  joint.pipe.outside_diameter = Sized{168.3, 0.1, "gauge"};
  joint.pipe.wall = Sized{7.11, 0.1, "gauge"};
  joint.pipe.inside_diameter = {154.08, 0.05, "bore gauge"};
  joint.a.name = "spool end";
  joint.b.name = "fitting end";
  return joint;
}

/// Everything measured all round: flat-ish bead 0.5 mm high, 5 mm wide, fused, no misalignment.
Reading Good() {
  Reading r;
  r.weld_found = true;
  r.calibrated = true;
  r.bore_radius_mm = 77.04;
  r.height_by = "light_section";
  r.coverage_deg = {360, 360, 360};
  auto& p = r.profile;
  for (std::size_t i = 0; i < kLines; ++i) p.theta_deg.push_back(0.5 * static_cast<double>(i));
  const auto fill = [](double value) { return std::vector<double>(kLines, value); };
  p.left_toe_z_mm = fill(-2.5), p.right_toe_z_mm = fill(2.5), p.left_toe_u_mm = p.right_toe_u_mm = fill(0.05);
  p.width_mm = fill(5), p.width_u_mm = fill(0.07);
  p.crown_height_mm = p.crown_over_left_mm = p.crown_over_right_mm = fill(0.5), p.crown_height_u_mm = fill(0.05);
  p.concavity_mm = p.concavity_under_left_mm = p.concavity_under_right_mm = fill(0), p.concavity_u_mm = fill(0.05);
  p.misalignment_mm = fill(0.1), p.misalignment_u_mm = fill(0.05);
  p.fusion_left = p.fusion_right = std::vector<Fusion>(kLines, Fusion::kFused);
  return r;
}

Verdict By(const std::string& set, const Reading& reading, const Joint& joint = SixInch()) {
  return Judge(reading, joint, LoadCriteria(set, "").value());
}

const Finding& Of(const Verdict& verdict, const std::string& id) {
  for (const Finding& finding : verdict.findings)
    if (finding.rule_id == id) return finding;
  throw std::runtime_error("no finding for " + id);
}

const char* const kMil = "MIL-STD-2035A Class 1";
const char* const kB313 = "ASME B31.3 Normal Fluid Service";

CriteriaSet WidthSet(double limit) {
  return ReadCriteria(R"({"format":"rootscroll.criteria/1","name":"own","standard":"own","edition":"1","rules":[
    {"id":"width","title":"Root width","paragraph":"1","datum":"none","measures":"width","judged":"yes",
     "limits":[{"least":[{"mm":)" +
                          std::to_string(limit) + "}]}]}]}",
                      "own")
      .value();
}

TEST(Judge, UsersWidthLimitIsTheOnlyWidthLimit) {
  EXPECT_EQ(Judge(Good(), SixInch(), WidthSet(7)).exit_code, 0);
  EXPECT_EQ(Judge(Good(), SixInch(), WidthSet(7)).disposition, "proposed: within");
  EXPECT_EQ(Judge(Good(), SixInch(), WidthSet(7)).decided_by, "Root width");
  const Verdict beyond = Judge(Good(), SixInch(), WidthSet(4.8));
  EXPECT_EQ(beyond.exit_code, 1);
  EXPECT_EQ(beyond.disposition, "proposed: not accepted");
  EXPECT_EQ(Judge(Good(), SixInch(), WidthSet(5.1)).exit_code, 3);  // 5.00 +/- 0.14 mm against 5.1 mm.
}

TEST(Judge, WithinNeedsTheWholeRing) {
  Reading r = Good();
  r.profile.width_mm[100] = NAN;
  r.why.push_back({"width_mm", 50, 50.5, vision::SentenceFrom("The far toe is hidden by the crown.")});
  const Finding f = Of(Judge(r, SixInch(), WidthSet(7)), "width");
  EXPECT_EQ(f.outcome, Outcome::kNotMeasured);
  EXPECT_THAT(EnglishOf(f.reason), HasSubstr("359.5 of 360 degrees"));
  EXPECT_THAT(EnglishOf(f.reason), HasSubstr("hidden by the crown"));
  r.profile.width_mm[300] = 9;
  EXPECT_EQ(Of(Judge(r, SixInch(), WidthSet(7)), "width").outcome, Outcome::kBeyond);
}

TEST(Judge, CoverageIsAlwaysAFinding) {
  Reading r = Good();
  r.coverage_deg = {341, 298, 290};
  const Verdict v = Judge(r, SixInch(), WidthSet(7));
  EXPECT_EQ(v.exit_code, 3);
  EXPECT_THAT(EnglishOf(Of(v, "coverage").reason), HasSubstr("spool end side 341, fitting end side 298"));
}

TEST(Judge, NoWeldMeansNothingWithin) {
  Reading r = Good();
  r.weld_found = false;
  for (const Finding& f : By(kMil, r).findings) EXPECT_EQ(f.outcome, Outcome::kNotMeasured) << f.title;
}

// MIL-STD-2035A Table I: concavity at most 1.59 mm from NPS 2 up.
TEST(Judge, DecidesConcavityInThreeValues) {
  const auto at = [](double depth) {
    Reading r = Good();
    r.profile.concavity_mm[270] = depth;
    return Of(By(kMil, r), "root-concavity");
  };
  EXPECT_EQ(at(1.4).outcome, Outcome::kWithin);
  EXPECT_EQ(at(1.6).outcome, Outcome::kUndecided);
  const Finding beyond = at(1.8);
  EXPECT_EQ(beyond.outcome, Outcome::kBeyond);
  EXPECT_DOUBLE_EQ(*beyond.theta_deg, 135);
  EXPECT_DOUBLE_EQ(*beyond.value_mm, 1.8);
  EXPECT_EQ(beyond.datum, "the line joining the two toes");
}

// A quarter of 1.59 mm is 0.3975 mm: k u = 0.4 mm is too much, 0.39 mm is not.
TEST(Judge, SaysWhereAHeightIsTooUncertainForItsLimit) {
  Reading r = Good();
  for (std::size_t i = 100; i < 120; ++i) r.profile.concavity_u_mm[i] = 0.2;
  EXPECT_THAT(EnglishOf(Of(By(kMil, r), "root-concavity").reason),
              HasSubstr("Not fit for this limit over 10.0 degrees: the expanded uncertainty, up to 0.40 mm, is more "
                        "than a quarter of it (0.40 mm)"));
  for (std::size_t i = 100; i < 120; ++i) r.profile.concavity_u_mm[i] = 0.195;
  EXPECT_THAT(EnglishOf(Of(By(kMil, r), "root-concavity").reason), Not(HasSubstr("Not fit")));
  r.profile.concavity_mm.assign(kLines, NAN);
  r.why = {{"concavity_mm", 0, 360,
            vision::SentenceFrom("the expanded uncertainty (k = 2) here is not below the 0.40 mm asked for")}};
  const Finding none = Of(By(kMil, r), "root-concavity");
  EXPECT_EQ(none.outcome, Outcome::kNotMeasured);
  EXPECT_THAT(EnglishOf(none.reason), HasSubstr("not below the 0.40 mm asked for"));
}

TEST(Judge, RulesThatNeedTheCapAreNotMeasuredWithoutIt) {
  EXPECT_THAT(EnglishOf(Of(By(kMil, Good()), "root-concavity-thickness").reason),
              HasSubstr("smallest height of the cap outside"));
  EXPECT_EQ(Of(By(kB313, Good()), "concave-root").outcome, Outcome::kNotMeasured);
  Joint joint = SixInch();
  joint.outside_cap_height_mm = 1.0;
  EXPECT_EQ(Of(By(kB313, Good(), joint), "concave-root").outcome, Outcome::kWithin);
  Reading r = Good();
  r.profile.concavity_under_right_mm[5] = 1.5;
  EXPECT_EQ(Of(By(kB313, r, joint), "concave-root").outcome, Outcome::kBeyond);
}

// The same bead with a step: B31.3 takes the lesser of the two sides, MIL the chord.
TEST(Judge, DatumDecidesWithMisalignment) {
  Reading r = Good();
  r.profile.crown_height_mm[0] = 3.2, r.profile.crown_over_left_mm[0] = 4.0, r.profile.crown_over_right_mm[0] = 2.4;
  EXPECT_EQ(Of(By(kB313, r), "internal-protrusion").outcome, Outcome::kWithin);
  EXPECT_EQ(Of(By(kMil, r), "root-convexity").outcome, Outcome::kBeyond);
}

// MIL-STD-2035A Table I note 2: CuNi up to 3.18 mm over at most 25 % of the inside circumference.
TEST(Judge, CopperNickelMayBeHigherOverAQuarter) {
  const auto over = [](std::size_t lines, const char* material) {
    Reading r = Good();
    for (std::size_t i = 0; i < lines; ++i) r.profile.crown_height_mm[(700 + i) % kLines] = 2.8;
    Joint joint = SixInch();
    joint.material = material;
    return Of(By(kMil, r, joint), "root-convexity").outcome;
  };
  EXPECT_EQ(over(179, "CuNi 70/30"), Outcome::kWithin);
  EXPECT_EQ(over(181, "CuNi 70/30"), Outcome::kBeyond);
  EXPECT_EQ(over(10, "316L"), Outcome::kBeyond);
}

// ISO 5817 short imperfections: at most 25 mm in 100 mm; 0.5 degrees are 0.672 mm here: 37 lines 24.9 mm, 38 lines 25.5
// mm.
TEST(Judge, ShortConcavityIsCountedAcrossTheSeam) {
  const auto lines = [](std::size_t count, std::size_t from) {
    Reading r = Good();
    for (std::size_t i = 0; i < count; ++i) r.profile.concavity_mm[(from + i) % kLines] = 0.5;
    return Of(By("ISO 5817:2014 C", r), "root-concavity");
  };
  EXPECT_EQ(lines(37, 700).outcome, Outcome::kWithin);
  EXPECT_EQ(lines(38, 700).outcome, Outcome::kBeyond);
  EXPECT_EQ(lines(38, 300).outcome, Outcome::kBeyond);
  EXPECT_THAT(EnglishOf(lines(38, 700).reason), HasSubstr("25.5 mm in the worst 100 mm"));
}

TEST(Judge, LimitByWidthIsNotMeasuredWithoutWidth) {
  Reading r = Good();
  r.profile.width_mm[7] = NAN;
  const Finding f = Of(By("ISO 5817:2014 B", r), "excess-penetration");
  EXPECT_EQ(f.outcome, Outcome::kNotMeasured);
  EXPECT_THAT(EnglishOf(f.reason), HasSubstr("width of the root bead"));
}

TEST(Judge, UnfusedRunIsBeyondAndHiddenEdgeNeverWithin) {
  Reading r = Good();
  EXPECT_EQ(Of(By(kMil, r), "insert-fusion").outcome, Outcome::kWithin);
  r.unfused.push_back({355, 5, "right", 0.9, 13.4, 1, ""});
  const Finding beyond = Of(By(kMil, r), "insert-fusion");
  EXPECT_EQ(beyond.outcome, Outcome::kBeyond);
  EXPECT_DOUBLE_EQ(*beyond.theta_deg, 355);
  EXPECT_THAT(EnglishOf(beyond.reason), HasSubstr("Original edge visible on the side of fitting end"));
  EXPECT_EQ(By(kMil, r).exit_code, 1);
  r.unfused[0].confidence = 0.3;
  EXPECT_EQ(Of(By(kMil, r), "insert-fusion").outcome, Outcome::kUndecided);
  Reading hidden = Good();
  hidden.profile.fusion_right[3] = Fusion::kNotVisible;
  EXPECT_EQ(Of(By(kMil, hidden), "insert-fusion").outcome, Outcome::kNotMeasured);
  Reading by_line = Good();
  by_line.profile.fusion_left[3] = Fusion::kUnfused;
  EXPECT_EQ(Of(By(kMil, by_line), "insert-fusion").outcome, Outcome::kBeyond);
}

Indication Pore(double theta, double size) {
  Indication i;
  i.kind = "pore", i.iso6520 = "2017", i.theta_deg = theta, i.z_mm = 0, i.confidence = 0.9;
  i.length_mm = i.width_mm = size, i.length_u_mm = i.width_u_mm = 0.05;
  return i;
}

// 20 lines from 100 degrees stand for 100 to 110 degrees: the verdict gives the reading's own run and arc.
TEST(Judge, UnfusedRunEndsWhereTheReadingSays) {
  Reading r = Good();
  for (std::size_t i = 200; i < 220; ++i) r.profile.fusion_left[i] = Fusion::kUnfused;
  r.unfused.push_back({100, 110, "left", 0.9, 13.5, 1, ""});
  EXPECT_THAT(EnglishOf(Of(By(kMil, r), "insert-fusion").reason), HasSubstr("from 100.0 to 110.0 degrees"));
}

// MIL-STD-2035A 4.2.10: each at most 2.38 mm, sum at most 3.18 mm in any 50.8 mm, up to 0.79 mm ignored.
TEST(Judge, PoresBySizeAndBySumAcrossTheSeam) {
  Reading r = Good();
  r.indications = {Pore(10, 2.0)};
  EXPECT_EQ(Of(By(kMil, r), "pores").outcome, Outcome::kNotMeasured);  // Nobody says that the rest was searched.
  r.indications = {Pore(10, 2.6)};
  EXPECT_EQ(Of(By(kMil, r), "pores").outcome, Outcome::kBeyond);
  r.indications = {Pore(355, 2.0), Pore(5, 2.0)};  // 10 degrees are 13.4 mm.
  EXPECT_EQ(Of(By(kMil, r), "pores").outcome, Outcome::kBeyond);
  r.indications = {Pore(355, 2.0), Pore(50, 2.0)};  // 55 degrees are 74 mm.
  EXPECT_EQ(Of(By(kMil, r), "pores").outcome, Outcome::kNotMeasured);
  r.indications = {Pore(1, 0.7), Pore(2, 0.7), Pore(3, 0.7), Pore(4, 0.7), Pore(5, 0.7)};
  EXPECT_EQ(Of(By(kMil, r), "pores").outcome, Outcome::kNotMeasured);
}

// Both edges in sight and no run: within, with how short an arc would have shown beside it.
TEST(Judge, FusionWithinSaysHowShortAnArcWouldHaveShown) {
  auto r = Good();
  r.searched = {{"unfused", "left", "length", 300, 0.9, {{0, 300, 0.9}}, vision::SentenceFrom("glints")}};
  const Finding f = Of(By(kMil, r), "insert-fusion");
  EXPECT_EQ(f.outcome, Outcome::kWithin);
  EXPECT_THAT(EnglishOf(f.reason),
              HasSubstr("short unfused arcs (piece a toe): 300 of 360 degrees, down to length 0.90 mm; "
                        "elsewhere not: glints."));
}

// What was searched is said in words; how surely a pore of that size is found is not proven, so none seen is not
// within.
TEST(Judge, NoPoreSeenSaysWhatWasSearchedAndIsNotWithin) {
  Reading r = Good();
  r.searched = {{"pore", "", "diameter", 350, 0.75, {{0, 350, 0.75}}, vision::SentenceFrom("glare")},
                {"undercut", "left", "length", 120, 2, {{0, 120, 2}}, {}}};
  const auto f = Of(By(kMil, r), "pores");
  EXPECT_EQ(f.outcome, Outcome::kNotMeasured);
  EXPECT_THAT(EnglishOf(f.reason),
              HasSubstr("Searched for pore: 350 of 360 degrees, down to diameter 0.75 mm; elsewhere not: glare."));
  EXPECT_THAT(EnglishOf(f.reason), Not(HasSubstr("undercut")));
  EXPECT_THAT(EnglishOf(Of(By(kMil, Good()), "pores").reason), HasSubstr("does not say that it was searched for"));
}

TEST(Judge, CracksAreNeverWithin) {
  EXPECT_EQ(Of(By(kMil, Good()), "cracks").outcome, Outcome::kNotMeasured);
  Reading r = Good();
  r.indications = {Pore(10, 1)};
  r.indications[0].kind = "crack", r.indications[0].iso6520 = "100";
  EXPECT_EQ(Of(By(kMil, r), "cracks").outcome, Outcome::kBeyond);
  r.indications[0].confidence = 0.2;
  EXPECT_EQ(Of(By(kMil, r), "cracks").outcome, Outcome::kUndecided);
}

TEST(Judge, UndercutWithoutDepthIsNotMeasured) {
  Reading r = Good();
  Indication undercut = Pore(10, 8);
  undercut.kind = "undercut", undercut.iso6520 = "5011";
  r.indications = {undercut};
  EXPECT_THAT(EnglishOf(Of(By(kMil, r), "undercut").reason), HasSubstr("its depth is not measured"));
  r.indications[0].depth_mm = 0.6, r.indications[0].depth_u_mm = 0.05;
  EXPECT_EQ(Of(By(kMil, r), "undercut").outcome, Outcome::kBeyond);
}

/// MIL-STD-2035A 4.2.9 and 3.14: wrinkled or crystalline scale rejects, a temper film does not; none seen proves
/// nothing.
TEST(Judge, WrinkledScaleIsBeyondAndTemperColourIsNot) {
  EXPECT_EQ(Of(By(kMil, Good()), "oxidation").outcome, Outcome::kNotMeasured);
  EXPECT_THAT(EnglishOf(Of(By(kMil, Good()), "oxidation").reason), HasSubstr("does not prove"));
  Reading r = Good();
  r.indications = {Pore(10, 12)};
  r.indications[0].kind = "scale", r.indications[0].iso6520 = "613";
  EXPECT_EQ(Of(By(kMil, r), "oxidation").outcome, Outcome::kBeyond);
  r.indications[0].confidence = 0.2;
  EXPECT_EQ(Of(By(kMil, r), "oxidation").outcome, Outcome::kUndecided);
  r.indications[0].confidence = 1;
  r.indications[0].kind = "temper_colour", r.indications[0].iso6520 = "610";
  EXPECT_EQ(Of(By(kMil, r), "oxidation").outcome, Outcome::kNotMeasured);
}

TEST(Judge, Api1104IsNeverJudged) {
  Reading bad = Good();
  bad.unfused.push_back({0, 90, "left", 1, 100, 1, ""});
  for (const Reading& r : {Good(), bad, Reading{}}) {
    const Verdict v = By("API 1104 (annotated)", r);
    for (const Finding& f : v.findings)
      EXPECT_EQ(f.outcome, f.rule_id == "coverage" ? Of(v, "coverage").outcome : Outcome::kAnnotated) << f.title;
    EXPECT_EQ(v.exit_code, 3);
  }
}

TEST(Judge, EmptyReadingIsNeverWithin) {
  Reading r;
  r.weld_found = true;
  for (const std::string& name : ShippedCriteria())
    for (const Finding& f : By(name, r).findings) EXPECT_NE(f.outcome, Outcome::kWithin) << name << " " << f.title;
}

/// The profile numbers that each rule stands on.
std::vector<std::vector<double>*> Numbers(Reading* r, const std::string& id) {
  auto& p = r->profile;
  if (id == "root-concavity") return {&p.concavity_mm, &p.concavity_u_mm};
  if (id == "root-convexity") return {&p.crown_height_mm, &p.crown_height_u_mm};
  if (id == "internal-protrusion") return {&p.crown_over_left_mm, &p.crown_over_right_mm, &p.crown_height_u_mm};
  if (id == "excess-penetration") return {&p.crown_height_mm, &p.crown_height_u_mm, &p.width_mm, &p.width_u_mm};
  return {&p.misalignment_mm, &p.misalignment_u_mm};
}

TEST(Judge, ANumberThatIsNotMeasuredNeverYieldsWithin) {
  const std::pair<const char*, const char*> rules[] = {{kMil, "root-concavity"},
                                                       {kMil, "root-convexity"},
                                                       {kMil, "offset"},
                                                       {kB313, "internal-protrusion"},
                                                       {"ISO 5817:2014 B", "misalignment"},
                                                       {"ISO 5817:2014 B", "excess-penetration"}};
  std::mt19937 random(1);
  for (const auto& [set, id] : rules) {
    EXPECT_EQ(Of(By(set, Good()), id).outcome, Outcome::kWithin) << id;  // The rule can be within at all.
    for (int trial = 0; trial < 25; ++trial) {
      Reading r = Good();
      const auto numbers = Numbers(&r, id);
      const int holes = 1 << (random() % 9);
      for (int hole = 0; hole < holes; ++hole) (*numbers[random() % numbers.size()])[random() % kLines] = NAN;
      EXPECT_NE(Of(By(set, r), id).outcome, Outcome::kWithin) << id;
    }
    Reading cut = Good();
    Numbers(&cut, id)[0]->resize(100);
    EXPECT_NE(Of(By(set, cut), id).outcome, Outcome::kWithin) << id;
  }
}

TEST(Finding, FingerprintSurvivesRemeasuring) {
  Finding first;
  first.rule_id = "root-concavity", first.theta_deg = 131.2, first.z_mm = 0.4, first.value_mm = 1.8;
  Finding again = first;
  again.theta_deg = 128.4, again.z_mm = -0.9, again.value_mm = 1.6, again.outcome = Outcome::kUndecided;
  EXPECT_EQ(first.Fingerprint(), again.Fingerprint());
  again.theta_deg = 160;
  EXPECT_NE(first.Fingerprint(), again.Fingerprint());
  Finding seam = first;
  seam.theta_deg = 358, first.theta_deg = 2;
  EXPECT_EQ(first.Fingerprint(), seam.Fingerprint());
}

TEST(Verdict, JsonCarriesTheCautionsAndMarks) {
  Reading r = Good();
  r.calibrated = false, r.calibration_note = vision::SentenceFrom("no scale check"), r.angles = "relative";
  const auto verdict = nlohmann::json::parse(ToJson(By(kMil, r)));
  EXPECT_EQ(verdict.at("format"), "rootscroll.verdict/2");
  EXPECT_THAT(verdict.at("cautions").dump(), HasSubstr("NOT EXAMINED, not acceptable"));
  EXPECT_THAT(verdict.at("cautions").dump(), HasSubstr("never replaces the qualified examiner"));
  EXPECT_THAT(verdict.at("notes").dump(), HasSubstr("Not calibrated: no scale check"));
  EXPECT_THAT(verdict.at("notes").dump(), HasSubstr("relative"));
  EXPECT_EQ(verdict.at("findings").back().at("rule"), "coverage");
}

}  // namespace
}  // namespace app::joint
