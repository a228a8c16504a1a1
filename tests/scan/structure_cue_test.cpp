#include "vision/scan/structure_cue.h"

#include <gtest/gtest.h>

namespace vision::scan {
namespace {

/// A moment at which the weld was looked for by structure; distance 0: in vain.
FrameLook Looked(double time_s, double distance_radii, double strength, double chance = 0.6) {
  FrameLook look;
  look.time_s = time_s;
  look.weld.emplace();
  look.weld->bore = true;
  look.weld->by_structure = distance_radii > 0;
  look.weld->distance_radii = distance_radii, look.weld->ring_strength = strength, look.weld->chance = chance;
  return look;
}

std::vector<double> Settled(std::vector<FrameLook> looks) {
  SettleCues(looks, {});
  std::vector<double> distances;
  for (const FrameLook& look : looks) distances.push_back(look.weld ? look.weld->distance_radii : -1);
  return distances;
}

using Distances = std::vector<double>;

// All by hand from the header's rules: sure at a strength of 12, beside each other within 3.5 s and 1 radius a second.
TEST(SettleCues, AWeakRingCountsBesideASureOneAlone) {
  EXPECT_EQ(Settled({Looked(0, 1.5, 8), Looked(1, 1.0, 20)}), (Distances{1.5, 1.0}));
  EXPECT_EQ(Settled({Looked(0, 1.5, 8), Looked(1, 1.3, 8)}), (Distances{0, 0}));
}

TEST(SettleCues, AWeakRingHangsOnOthersFromEitherSideInTime) {
  EXPECT_EQ(Settled({Looked(0, 1.9, 8), Looked(1, 1.5, 8), Looked(2, 1.0, 20), Looked(3, 1.2, 8), Looked(4, 1.6, 8)}),
            (Distances{1.9, 1.5, 1.0, 1.2, 1.6}));
}

TEST(SettleCues, AWeakRingElsewhereOrLongAgoIsNone) {
  EXPECT_EQ(Settled({Looked(0, 3.0, 8), Looked(1, 1.0, 20)}), (Distances{0, 1.0}));  // 2 radii in a second
  EXPECT_EQ(Settled({Looked(0, 1.0, 8), Looked(4, 1.0, 20)}), (Distances{0, 1.0}));  // 4 s
}

TEST(SettleCues, TwoLikelyRingsBesideEachOtherAreSure) {
  EXPECT_EQ(Settled({Looked(0, 1.5, 8, 0.97), Looked(1, 1.0, 9, 0.99)}), (Distances{1.5, 1.0}));
  EXPECT_EQ(Settled({Looked(0, 1.5, 8, 0.97), Looked(1, 1.0, 9, 0.90)}), (Distances{0, 0}));
  EXPECT_EQ(Settled({Looked(0, 1.5, 8, 0.90), Looked(1, 1.0, 9, 0.97)}), (Distances{0, 0}));
  EXPECT_EQ(Settled({Looked(0, 3.5, 8, 0.97), Looked(1, 1.0, 9, 0.99)}), (Distances{0, 0}));
  EXPECT_EQ(Settled({Looked(0, 1.0, 8, 0.99)}), (Distances{0}));
}

TEST(SettleCues, FarFainterThanTheSameWeldFromFartherOffIsNone) {
  EXPECT_EQ(Settled({Looked(0, 1.5, 60), Looked(1, 1.0, 17)}), (Distances{1.5, 0}));     // 17 < 0.3 * 60
  EXPECT_EQ(Settled({Looked(0, 1.5, 60), Looked(1, 1.0, 19)}), (Distances{1.5, 1.0}));   // 19 > 18
  EXPECT_EQ(Settled({Looked(0, 1.5, 60), Looked(40, 1.0, 17)}), (Distances{1.5, 1.0}));  // long after
  EXPECT_EQ(Settled({Looked(0, 1.5, 17), Looked(1, 1.0, 60)}), (Distances{1.5, 1.0}));   // nearer stands out more
}

TEST(SettleCues, ASearchInVainBetweenTwoThatFoundTheWeldIsPassedOver) {
  EXPECT_EQ(Settled({Looked(0, 1.2, 20), Looked(1, 0, 0), Looked(2, 1.0, 20)}), (Distances{1.2, -1, 1.0}));
  EXPECT_EQ(Settled({Looked(0, 1.2, 20), Looked(1, 0, 0), Looked(4, 1.0, 20)}), (Distances{1.2, 0, 1.0}));
}

TEST(StructureCue, OptionsNameWhatIsWrong) {
  StructureCueOptions options;
  EXPECT_FALSE(options.Check());
  options.sure_chance = 0.4;  // below least_chance
  ASSERT_TRUE(options.Check());
  EXPECT_NE(options.Check()->message.find("sure_chance"), std::string::npos);
  options = {};
  options.near_looks = 0;
  ASSERT_TRUE(options.Check());
  EXPECT_NE(options.Check()->message.find("near_looks"), std::string::npos);
  options = {};
  options.key_every_s = 0;
  ASSERT_TRUE(options.Check());
  EXPECT_NE(options.Check()->message.find("key_every_s"), std::string::npos);
}

}  // namespace
}  // namespace vision::scan
