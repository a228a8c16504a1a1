#include <gmock/gmock.h>

#include <array>
#include <cstdio>
#include <fstream>
#include <nlohmann/json.hpp>

#include "vision/evidence/evidence.h"
#include "vision/evidence/model_file.h"

namespace vision::evidence {
namespace {

const std::string kModel = ROOTSCROLL_SOURCE_DIR "/vision/evidence/model/";

std::string OutputOf(const std::string& command) {
  FILE* pipe = popen(command.c_str(), "r");
  std::string text;
  std::array<char, 256> part{};
  while (pipe && std::fgets(part.data(), part.size(), pipe)) text += part.data();
  if (pipe) pclose(pipe);
  return text;
}

TEST(Model, ItsHashIsThatOfTheCommittedFacts) {  // against coreutils' sha256sum
  EXPECT_EQ(TheModel().sha256, OutputOf("sha256sum " + kModel + "strip_reader.json").substr(0, 64));
  EXPECT_EQ(TheModel().name, "strip_reader");
  EXPECT_GE(TheModel().version, 1);
}

TEST(Model, TheNetworksBuiltInAreTheFilesThatTheFactsNameByTheirHash) {
  const auto facts = nlohmann::json::parse(std::ifstream(kModel + "strip_reader.json"));
  ASSERT_EQ(facts.at("networks").size(), kNetworks);
  for (std::size_t k = 0; k < kNetworks; ++k) {
    const auto& named = facts.at("networks").at(k);
    const std::string path = kModel + named.at("file").get<std::string>();
    EXPECT_EQ(OutputOf("sha256sum " + path).substr(0, 64), named.at("sha256").get<std::string>());
    std::ifstream file(path, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), {}};
    EXPECT_EQ(std::string(NetworkBytes(k).data(), NetworkBytes(k).size()), bytes);
    EXPECT_LE(bytes.size(), 10U << 20);
  }
}

TEST(Trust, IsReadFromTheFactsAndUsable) {
  EXPECT_FALSE(TheTrust().Check());
  const auto facts = nlohmann::json::parse(std::ifstream(kModel + "strip_reader.json"));
  EXPECT_EQ(TheTrust().unfused_above, facts.at("unfused_above").get<double>());
  EXPECT_EQ(TheTrust().unfused_goes_on_above, facts.at("unfused_goes_on_above").get<double>());
  EXPECT_EQ(TheTrust().spread_scale[1], facts.at("spread_scale").at("far").get<double>());
}

TEST(Trust, RefusesWhatCannotBe) {
  Trust trust;
  trust.fused_below = 0.95, trust.unfused_above = 0.9;
  ASSERT_TRUE(trust.Check());
  EXPECT_THAT(trust.Check()->message, testing::HasSubstr("fused_below"));
  trust = {};
  trust.unfused_above = 0.8, trust.unfused_goes_on_above = 0.85;
  ASSERT_TRUE(trust.Check());
  EXPECT_THAT(trust.Check()->message, testing::HasSubstr("unfused_goes_on_above"));
  trust = {};
  trust.spread_scale[0] = std::nan("");
  ASSERT_TRUE(trust.Check());
  EXPECT_THAT(trust.Check()->message, testing::HasSubstr("spread_scale"));
}

}  // namespace
}  // namespace vision::evidence
