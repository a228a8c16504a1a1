#include <gtest/gtest.h>

#include <fstream>
#include <sstream>
#include <string>

namespace {

/// Counted as `wc -w` counts: runs of what is no white space, marks of tables and pictures included.
TEST(Readme, HasAtMostTwelveHundredWords) {
  std::ifstream readme(ROOTSCROLL_SOURCE_DIR "/README.md");
  ASSERT_TRUE(readme.good());
  int words = 0;
  for (std::string word; readme >> word;) ++words;
  EXPECT_LE(words, 1200);
  EXPECT_GT(words, 300);
}

/// Every file that the README points at is there.
TEST(Readme, ItsLinksLead) {
  std::ifstream readme(ROOTSCROLL_SOURCE_DIR "/README.md");
  std::stringstream text;
  text << readme.rdbuf();
  const std::string all = text.str();
  int links = 0;
  for (const std::string& opening : {std::string("]("), std::string("src=\"")})
    for (auto at = all.find(opening); at != std::string::npos; at = all.find(opening, at + 1)) {
      const auto from = at + opening.size();
      const std::string target = all.substr(from, all.find_first_of(")\"#", from) - from);
      if (target.empty() || target.find("://") != std::string::npos) continue;
      ++links;
      EXPECT_TRUE(std::ifstream(ROOTSCROLL_SOURCE_DIR "/" + target).good()) << target;
    }
  EXPECT_GT(links, 3);
}

}  // namespace
