#include "app/joint/pipe_table.h"

#include <gmock/gmock.h>

namespace app::joint {
namespace {

using ::testing::HasSubstr;

Sized Wall(const std::string& nps, const std::string& schedule) { return NominalPipe(nps, schedule).value().wall; }
double Od(const std::string& nps, const std::string& schedule) {
  return NominalPipe(nps, schedule).value().outside_diameter.value_mm;
}

// Inside diameters computed by hand from ASME B36.10M / B36.19M outside diameter and wall.
TEST(PipeTable, GivesPublishedInsideDiameters) {
  const struct {
    const char *nps, *schedule;
    double id_mm;
  } rows[] = {{"2", "40", 52.48},  {"3", "40", 77.92},  {"4", "10S", 108.20}, {"4", "80", 97.18},
              {"6", "40", 154.08}, {"6", "80", 146.36}, {"8", "40", 202.74},  {"12", "80", 288.84}};
  for (const auto& row : rows)
    EXPECT_NEAR(NominalPipe(row.nps, row.schedule).value().inside_diameter.value_mm, row.id_mm, 1e-9)
        << row.nps << " " << row.schedule;
}

// ASME B36.10M against B36.19M.
TEST(PipeTable, KeepsTheTrapsApart) {
  EXPECT_DOUBLE_EQ(Wall("12", "40").value_mm, 10.31);
  EXPECT_DOUBLE_EQ(Wall("12", "40S").value_mm, 9.53);
  EXPECT_DOUBLE_EQ(Wall("12", "STD").value_mm, 9.53);
  EXPECT_DOUBLE_EQ(Wall("10", "80").value_mm, 15.09);
  EXPECT_DOUBLE_EQ(Wall("10", "80S").value_mm, 12.70);
  EXPECT_DOUBLE_EQ(Wall("12", "80").value_mm, 17.48);
  EXPECT_DOUBLE_EQ(Wall("12", "xs").value_mm, 12.70);
  for (const char* nps : {"8", "10", "12"}) EXPECT_LT(Wall(nps, "XXS").value_mm, Wall(nps, "160").value_mm) << nps;
  EXPECT_GT(Wall("6", "XXS").value_mm, Wall("6", "160").value_mm);
  EXPECT_DOUBLE_EQ(Od("10", "40"), 273.0);
  EXPECT_DOUBLE_EQ(Od("10", "40S"), 273.1);
  EXPECT_DOUBLE_EQ(Od("12", "XXS"), 323.8);
  EXPECT_DOUBLE_EQ(Od("12", "10S"), 323.9);
}

// Diameters in inches (ASME B36.10M) times 25.4 agree with the mm column to its rounding.
TEST(PipeTable, MillimetresAgreeWithInches) {
  const struct {
    const char* nps;
    double inch;
  } rows[] = {{"2", 2.375}, {"2-1/2", 2.875}, {"3", 3.5},    {"4", 4.5},   {"5", 5.563},
              {"6", 6.625}, {"8", 8.625},     {"10", 10.75}, {"12", 12.75}};
  for (const auto& row : rows) EXPECT_NEAR(Od(row.nps, "40"), row.inch * 25.4, 0.055) << row.nps;
}

TEST(PipeTable, AcceptsTheWaysPeopleWriteASize) {
  for (const char* nps : {"2-1/2", "2 1/2", "2.5"}) EXPECT_DOUBLE_EQ(Od(nps, "80"), 73.0);
}

// Rectangular half width a: u = a / sqrt(3) (JCGM 100:2008, 4.3.7). Wall 10.97 mm: a = 1.37125, u(t) = 0.79169 mm.
TEST(PipeTable, NominalBoreIsUncertainByMillimetres) {
  const auto size = NominalPipe("6", "80");
  ASSERT_TRUE(size.ok());
  EXPECT_NEAR(size.value().wall.u_mm, 0.79169, 1e-5);
  EXPECT_GT(size.value().inside_diameter.u_mm, 2 * 0.79169);
  EXPECT_LT(size.value().inside_diameter.u_mm, 2.5);
  EXPECT_THAT(size.value().inside_diameter.source, HasSubstr("from memory"));
}

TEST(PipeTable, SaysWhatTheBoreDoesToEveryLength) {
  Pipe pipe;
  pipe.inside_diameter = {100.0, 1.0, "a source"};  // k = 2: 2 mm in 100 mm.
  EXPECT_THAT(EnglishOf(BoreUncertaintySentence(pipe)), HasSubstr("2 % of every length on the strip"));
}

TEST(PipeTable, NamesWhatExistsWhenAskedForWhatDoesNot) {
  EXPECT_THAT(NominalPipe("7", "40").error().message, HasSubstr("NPS 2, 2-1/2, 3"));
  EXPECT_THAT(NominalPipe("3", "120").error().message, HasSubstr("it holds 10S, 160"));
}

}  // namespace
}  // namespace app::joint
