#include "app/joint/criteria.h"

#include <gmock/gmock.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "app/joint/embedded.h"
#include "app/joint/verdict.h"
#include "app/joint/window.h"

namespace app::joint {
namespace {

using ::testing::Contains;
using ::testing::HasSubstr;

constexpr double kNotPermitted = 0;

CriteriaSet Shipped(const std::string& name) {
  auto set = LoadCriteria(name, "");
  EXPECT_TRUE(set.ok()) << (set.ok() ? "" : set.error().message);
  return set.value();
}

const Rule& Find(const CriteriaSet& set, const std::string& id) {
  for (const Rule& rule : set.rules)
    if (rule.id == id) return rule;
  throw std::runtime_error("no rule " + id + " in " + set.name);
}

double LimitOf(const std::string& set_name, const std::string& id, double t, double b, double od = 168.3) {
  const CriteriaSet set = Shipped(set_name);
  LimitInputs inputs;
  inputs.t_mm = inputs.s_mm = t;
  inputs.od_mm = od;
  const ChosenRow chosen = ChooseRow(Find(set, id), inputs);
  EXPECT_NE(chosen.row, nullptr) << EnglishOf(chosen.why_none);
  if (!chosen.row) return NAN;
  return Evaluate(*chosen.row, inputs, b)->value_mm;
}

// ISO 5817:2014 table 1, limits computed by hand from the formulas of a digest (limits D, C, B; mm).
TEST(Iso5817, GivesTheGoldenRowsOf2014) {
  const char* ids[] = {"root-concavity", "excess-penetration", "shrinkage-groove",
                       "undercut",       "misalignment",       "incomplete-root-penetration"};
  const struct {
    double t, b, limits[6][3];
  } rows[] = {
      {2.77,
       4,
       {{.477, .277, 0}, {3.4, 2.2, 1.4}, {.477, .277, 0}, {.554, .277, 0}, {1.385, 1.385, 1.385}, {.554, 0, 0}}},
      {3.00, 4, {{.5, .3, 0}, {3.4, 2.2, 1.4}, {.5, .3, 0}, {.6, .3, 0}, {1.5, 1.5, 1.5}, {.6, 0, 0}}},
      {3.91,
       4,
       {{.782, .391, .1955},
        {5, 3.4, 1.8},
        {.782, .391, .1955},
        {.782, .391, .1955},
        {1.955, 1.955, 1.955},
        {.782, 0, 0}}},
      {7.11, 5, {{1.422, .711, .3555}, {5, 4, 2}, {1.422, .711, .3555}, {1, .5, .3555}, {3.555, 3, 2}, {1.422, 0, 0}}},
      {10.97, 6, {{2, 1, .5}, {5, 4, 2.2}, {2, 1, .5}, {1, .5, .5}, {4, 3, 2}, {2, 0, 0}}}};
  const char* sets[] = {"ISO 5817:2014 D", "ISO 5817:2014 C", "ISO 5817:2014 B"};
  for (const auto& row : rows)
    for (int rule = 0; rule < 6; ++rule)
      for (int level = 0; level < 3; ++level)
        EXPECT_NEAR(LimitOf(sets[level], ids[rule], row.t, row.b), row.limits[rule][level], 1e-9)
            << sets[level] << " " << ids[rule] << " t " << row.t;
}

// ISO 5817:2023, excess penetration at level C: 1 + 0.45 b up to 4 (digest).
TEST(Iso5817, ExcessPenetrationAtCChangedIn2023) {
  const double rows[][3] = {{2.77, 4, 2.2}, {3, 4, 2.2}, {3.91, 4, 2.8}, {7.11, 5, 3.25}, {10.97, 6, 3.7}};
  for (const auto& row : rows)
    EXPECT_NEAR(LimitOf("ISO 5817:2023 C", "excess-penetration", row[0], row[1]), row[2], 1e-9);
}

TEST(Iso5817, ThreeMillimetresBelongsToTheThinRow) {
  EXPECT_NEAR(LimitOf("ISO 5817:2014 D", "excess-penetration", 3.0, 4), 3.4, 1e-9);
  EXPECT_NEAR(LimitOf("ISO 5817:2014 D", "excess-penetration", 3.000001, 4), 5.0, 1e-9);
  EXPECT_EQ(LimitOf("ISO 5817:2014 B", "root-concavity", 3.0, 4), kNotPermitted);
  EXPECT_NEAR(LimitOf("ISO 5817:2014 B", "root-concavity", 3.000001, 4), 0.15, 1e-6);
}

// MIL-STD-2035A Table I and Table III, inches times 25.4 (rounded to 0.01 mm).
TEST(Mil2035, LimitsByDiameterAndWall) {
  const std::string set = "MIL-STD-2035A Class 1";
  EXPECT_NEAR(LimitOf(set, "root-concavity", 7, 5, 60.3), 25.4 / 16, 0.005);
  EXPECT_NEAR(LimitOf(set, "root-concavity", 3, 5, 48.3), 25.4 / 32, 0.005);
  EXPECT_NEAR(LimitOf(set, "root-convexity", 7, 5, 60.3), 25.4 * 3 / 32, 0.005);
  EXPECT_NEAR(LimitOf(set, "root-convexity", 3, 5, 48.3), 25.4 / 16, 0.005);
  EXPECT_NEAR(LimitOf(set, "offset", 6.35, 5), 6.35 / 4, 1e-9);
  EXPECT_NEAR(LimitOf(set, "offset", 15, 5), 25.4 / 8, 0.006);
  EXPECT_NEAR(LimitOf(set, "offset", 20, 5), 25.4 * 3 / 16, 0.005);
  EXPECT_NEAR(LimitOf(set, "offset", 60, 5), 25.4 / 4, 1e-9);
  EXPECT_NEAR(LimitOf(set, "undercut", 2, 5), 0.2, 1e-9);
  EXPECT_NEAR(LimitOf(set, "undercut", 9, 5), 25.4 / 64, 0.0005);
}

// ASME B31.3 table 341.3.2, criterion L (public copy of the table).
TEST(B313, ProtrusionStepsWithTheWall) {
  const double rows[][2] = {{6, 1.5}, {6.01, 3}, {13, 3}, {13.01, 4}, {25, 4}, {25.01, 5}};
  for (const auto& row : rows)
    EXPECT_EQ(LimitOf("ASME B31.3 Normal Fluid Service", "internal-protrusion", row[0], 5), row[1]);
  EXPECT_NEAR(LimitOf("ASME B31.3 Normal Fluid Service", "undercut", 3, 5), 0.75, 1e-9);
}

TEST(Criteria, HeightDatumIsPartOfTheRule) {
  EXPECT_EQ(Find(Shipped("MIL-STD-2035A Class 1"), "root-convexity").datum, HeightDatum::kChord);
  EXPECT_EQ(Find(Shipped("ASME B31.3 Normal Fluid Service"), "internal-protrusion").datum,
            HeightDatum::kEachSideLesser);
}

TEST(Criteria, EveryShippedFileIsOneThatLoadsAndNoneLimitsWidth) {
  const std::filesystem::path folder = std::filesystem::path(ROOTSCROLL_SOURCE_DIR) / "app/joint/criteria";
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    std::ostringstream text;
    text << std::ifstream(entry.path()).rdbuf();
    const auto set = ReadCriteria(text.str(), entry.path().filename());
    ASSERT_TRUE(set.ok()) << set.error().message;
    EXPECT_THAT(ShippedCriteria(), Contains(set.value().name));
    EXPECT_EQ(EmbeddedText("criteria/" + entry.path().filename().string()), text.str());
    for (const Rule& rule : set.value().rules) EXPECT_NE(rule.measures, Measures::kWidth) << set.value().name;
    ++files;
  }
  EXPECT_EQ(files, ShippedCriteria().size());
  EXPECT_EQ(files, 9u);
}

TEST(Criteria, DigestsAreMarked) {
  for (const std::string& name : ShippedCriteria()) {
    if (name.rfind("ISO", 0) != 0 && name.rfind("API", 0) != 0) continue;
    for (const Rule& rule : Shipped(name).rules)
      EXPECT_THAT(rule.how_known, HasSubstr("secondary source, check the standard")) << name << " " << rule.id;
  }
}

TEST(Criteria, BadSetsSayWhatIsWrong) {
  const auto message = [](const std::string& rule) {
    const auto set = ReadCriteria(
        R"({"format":"rootscroll.criteria/1","name":"n","standard":"s","edition":"e","rules":[)" + rule + "]}",
        "own.json");
    return set.ok() ? std::string() : set.error().message;
  };
  const std::string head = R"({"id":"w","title":"Width","paragraph":"1","datum":"none","judged":"yes",)";
  EXPECT_EQ(message(head + R"("measures":"width","limits":[{"least":[{"mm":7}]}]})"), "");
  EXPECT_THAT(message(head + R"("measures":"width"})"), HasSubstr("own.json: /rules/0 has no limits"));
  EXPECT_THAT(message(head + R"("measures":"width","limits":[{}]})"), HasSubstr("exactly one of"));
  EXPECT_THAT(message(head + R"("measures":"girth","limits":[{"not_permitted":true}]})"),
              HasSubstr("/rules/0/measures is \"girth\""));
  EXPECT_THAT(message(head + R"("measures":"concavity","limits":[{"least":[{"mm":7}]}]})"), HasSubstr("has no datum"));
  EXPECT_THAT(message(head + R"("measures":"width","limits":[{"least":[{"mm":7,"q":1}]}]})"),
              HasSubstr("/q is not a known key"));
  EXPECT_THAT(LoadCriteria("none such", "").error().message, HasSubstr("shipped are: MIL-STD-2035A Class 1"));
}

// Windows on a ring of 200 mm in 400 steps of 0.5 mm; lengths counted by hand.
TEST(Window, WrapsThroughZero) {
  std::vector<bool> flags(400, false);
  for (int i = 380; i < 420; ++i)
    flags[static_cast<std::size_t>(i % 400)] = true;  // 190 to 210 mm: 20 mm over the seam
  EXPECT_DOUBLE_EQ(MostInWindow(flags, 200, 100), 20);
  EXPECT_DOUBLE_EQ(MostInWindow(flags, 200, 15), 15);
  for (int i = 200; i < 210; ++i) flags[static_cast<std::size_t>(i)] = true;  // 100 to 105 mm: 5 mm
  EXPECT_DOUBLE_EQ(MostInWindow(flags, 200, 100), 20);                        // 110 to 210 mm
  EXPECT_DOUBLE_EQ(MostInWindow(flags, 200, 108), 23);                        // 102 to 210 mm: 3 + 20
  EXPECT_DOUBLE_EQ(MostInWindow(flags, 200, 110), 25);
  EXPECT_DOUBLE_EQ(MostInWindow(flags, 200, 500), 25);
  EXPECT_DOUBLE_EQ(MostInWindow(std::vector<bool>(400, true), 200, 100), 100);
}

TEST(Window, SumsSizesAcrossTheSeam) {
  const std::vector<SizedPlace> places = {{195, 1, 0.3}, {5, 2, 0.4}, {100, 2.5, 0.1}};
  const WindowSum sum = LargestSumInWindow(places, 200, 50);
  EXPECT_DOUBLE_EQ(sum.sum_mm, 3);
  EXPECT_DOUBLE_EQ(sum.u_mm, 0.5);
  EXPECT_DOUBLE_EQ(sum.from_mm, 195);
  EXPECT_DOUBLE_EQ(sum.to_mm, 5);
}

TEST(Decide, HasThreeValuesAndNoVerdictOnNothing) {
  EXPECT_EQ(Decide(0.79, 0.1, 1, 1, 2), Outcome::kWithin);
  EXPECT_EQ(Decide(0.81, 0.1, 1, 1, 2), Outcome::kUndecided);
  EXPECT_EQ(Decide(1.19, 0.1, 1, 1, 2), Outcome::kUndecided);
  EXPECT_EQ(Decide(1.21, 0.1, 1, 1, 2), Outcome::kBeyond);
  EXPECT_EQ(Decide(1, 0, 1, 1, 2), Outcome::kWithin);
  EXPECT_EQ(Decide(1.5, 0.01, 1, 2, 2), Outcome::kUndecided);  // Sources disagree: 1 or 2.
  EXPECT_EQ(Decide(2.1, 0.01, 1, 2, 2), Outcome::kBeyond);
  for (double bad : {NAN, INFINITY}) {
    EXPECT_EQ(Decide(bad, 0.1, 1, 1, 2), Outcome::kNotMeasured);
    EXPECT_EQ(Decide(0.1, bad, 1, 1, 2), Outcome::kNotMeasured);
    EXPECT_EQ(Decide(0.1, 0.1, bad, bad, 2), Outcome::kNotMeasured);
  }
  EXPECT_EQ(Decide(0.1, -0.1, 1, 1, 2), Outcome::kNotMeasured);
}

}  // namespace
}  // namespace app::joint
