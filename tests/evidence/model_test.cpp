#include <gmock/gmock.h>

#include <array>
#include <cstdio>
#include <fstream>
#include <nlohmann/json.hpp>

#include "vision/evidence/evidence.h"
#include "vision/evidence/model_file.h"

namespace vision::evidence {
namespace {

const std::string kNetwork = ROOTSCROLL_SOURCE_DIR "/vision/evidence/model/strip_reader.onnx.gz";

std::string OutputOf(const std::string& command) {
  FILE* pipe = popen(command.c_str(), "r");
  std::string text;
  std::array<char, 256> part{};
  while (pipe && std::fgets(part.data(), part.size(), pipe)) text += part.data();
  if (pipe) pclose(pipe);
  return text;
}

TEST(Model, ItsHashIsThatOfTheCommittedFile) {  // against coreutils' sha256sum
  EXPECT_EQ(TheModel().sha256, OutputOf("sha256sum " + kNetwork).substr(0, 64));
  EXPECT_EQ(TheModel().name, "strip_reader");
  EXPECT_GE(TheModel().version, 1);
}

TEST(Model, TheBytesBuiltInAreTheCommittedFile) {
  std::ifstream file(kNetwork, std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  EXPECT_EQ(std::string(NetworkBytes().data(), NetworkBytes().size()), bytes);
  EXPECT_LE(bytes.size(), 10U << 20);
}

TEST(Trust, IsReadFromTheFactsAndUsable) {
  EXPECT_FALSE(TheTrust().Check());
  const auto facts =
      nlohmann::json::parse(std::ifstream(ROOTSCROLL_SOURCE_DIR "/vision/evidence/model/strip_reader.json"));
  EXPECT_EQ(TheTrust().unfused_above, facts.at("unfused_above").get<double>());
  EXPECT_EQ(TheTrust().spread_scale[1], facts.at("spread_scale").at("far").get<double>());
}

TEST(Trust, RefusesWhatCannotBe) {
  Trust trust;
  trust.fused_below = 0.95, trust.unfused_above = 0.9;
  ASSERT_TRUE(trust.Check());
  EXPECT_THAT(trust.Check()->message, testing::HasSubstr("fused_below"));
  trust = {};
  trust.spread_scale[0] = std::nan("");
  ASSERT_TRUE(trust.Check());
  EXPECT_THAT(trust.Check()->message, testing::HasSubstr("spread_scale"));
}

}  // namespace
}  // namespace vision::evidence
