#include "app/joint/confidence.h"

#include <gtest/gtest.h>

#include <cmath>

namespace app::joint {
namespace {

// No picture supports a certainty: nothing is printed as 1.00.
TEST(Confidence, NothingIsSurerThanAPictureCanBe) {
  EXPECT_EQ(ConfidenceText(1.0), "more than 0.95");
  EXPECT_EQ(ConfidenceText(0.956), "more than 0.95");
  EXPECT_EQ(ConfidenceText(0.95), "0.95");
  EXPECT_EQ(ConfidenceText(0.934), "0.93");
  EXPECT_EQ(ConfidenceText(NAN), "not stated");
}

}  // namespace
}  // namespace app::joint
