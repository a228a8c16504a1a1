#include "vision/base/number.h"

#include <gmock/gmock.h>

namespace vision {
namespace {

using testing::HasSubstr;

TEST(Number, PointAndCommaAreTheDecimalSignInEveryLanguage) {
  for (const char* text : {"1.5", "1,5", " 1,50 ", "+1.5"}) {
    const auto value = NumberFrom(text, "width");
    ASSERT_TRUE(value.ok()) << text;
    EXPECT_DOUBLE_EQ(value.value(), 1.5) << text;
  }
  EXPECT_DOUBLE_EQ(NumberFrom("-0,25", "z").value(), -0.25);
  EXPECT_DOUBLE_EQ(NumberFrom("77", "z").value(), 77);
}

TEST(Number, WhatCouldBeReadTwoWaysIsRefusedInOneSentence) {
  for (const char* text : {"1.234,5", "1,234.5", "1.234.567", "", "  ", "12 mm", "1e3", "nan", "inf", "+-1"}) {
    const auto value = NumberFrom(text, "bore diameter");
    ASSERT_FALSE(value.ok()) << text;
    EXPECT_THAT(value.error().message, HasSubstr("bore diameter"));
  }
}

}  // namespace
}  // namespace vision
