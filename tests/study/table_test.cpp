#include "vision/study/table.h"

#include <gmock/gmock.h>

namespace vision::study {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

// RFC 4180: quoted fields may hold commas and doubled quotes; lines may end with CR LF.
TEST(ReadTable, ReadsQuotesCommentsAndLineEnds) {
  const auto table =
      ReadTable("\xEF\xBB\xBF# made up\r\npart,\"who, says\"\r\n1,\"a \"\"b\"\"\"\r\n\r\n2, c\r\n", "t.csv");
  ASSERT_TRUE(table.ok());
  EXPECT_THAT(table.value().columns, ElementsAre("part", "who, says"));
  EXPECT_THAT(TextColumn(table.value(), "who, says").value(), ElementsAre("a \"b\"", "c"));
  EXPECT_THAT(NumberColumn(table.value(), "part").value(), ElementsAre(1, 2));
}

TEST(ReadTable, RefusesInOneSentence) {
  EXPECT_THAT(ReadTable("a,b\n1,2\n3\n", "t.csv").error().message, HasSubstr("t.csv: line 3 has 1 fields"));
  EXPECT_THAT(ReadTable("a,b\n", "t.csv").error().message, HasSubstr("holds no row"));
  const auto table = ReadTable("a,b\n1,x\nnan,2\n", "t.csv").value();
  EXPECT_THAT(NumberColumn(table, "b").error().message, HasSubstr("column `b`, row 1 is `x`"));
  EXPECT_THAT(NumberColumn(table, "a").error().message, HasSubstr("row 2 is `nan`"));
  EXPECT_THAT(TextColumn(table, "c").error().message, HasSubstr("it has: a, b"));
}

}  // namespace
}  // namespace vision::study
