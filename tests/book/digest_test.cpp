#include "app/book/digest.h"

#include <gtest/gtest.h>

#include "app/book/keys.h"
#include "app/book/revision.h"

namespace app::book {
namespace {

TEST(Digest, AgreesWithThePublishedExamples) {
  // NIST, "Secure Hash Standard" example values for SHA-256 ("abc", and the empty message of the CAVP short vectors).
  EXPECT_EQ(Sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(Sha256(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

// By Python 3.11: hashlib.sha256(json.dumps(parts, separators=(",", ":")).encode()), the body as its own SHA-256.
TEST(Digest, ARevisionAndALineOfTheJournalAreHashedOverAllTheirParts) {
  const Revision good{"J-1", 2,  "A. Example",         "login", "2026-03-01T08:00:00Z", "read again",
                      "aa",  "", "{\"joint\":\"J-1\"}"};
  EXPECT_EQ(good.ComputeHash(), "d9387fc72f6ee453ab799ae47401937beb085ac835c56a714cc5101425295298");
  EXPECT_EQ(ComputeSeal("bb", 7, "revision", "cc"), "b5a623b576f04c3c1b50553760b4f597cf9f21f53810b38e0bf44534ed81e6c0");
  for (auto part : {&Revision::joint, &Revision::author, &Revision::login, &Revision::made_at, &Revision::reason,
                    &Revision::parent, &Revision::body}) {
    Revision other = good;
    other.*part += "1";
    EXPECT_NE(other.ComputeHash(), good.ComputeHash());
  }
  Revision other = good;
  other.number = 3;
  EXPECT_NE(other.ComputeHash(), good.ComputeHash());
}

/// RFC 8032, section 7.1, TEST 3.
constexpr const char* kSecret = "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7";
constexpr const char* kPublic = "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025";
constexpr const char* kSignature =
    "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc0"
    "27beceea1ec40a";
const std::string kMessage = "\xaf\x82";

TEST(Keys, SignAsRfc8032Does) {
  const auto key = PrivateKey::FromRaw(kSecret);
  ASSERT_TRUE(key.ok());
  EXPECT_EQ(key.value().PublicHex(), kPublic);
  const auto signature = key.value().Sign(kMessage);
  ASSERT_TRUE(signature.ok());
  EXPECT_EQ(signature.value(), kSignature);
}

TEST(Keys, HoldOnlyForTheirOwnMessageKeyAndSignature) {
  EXPECT_TRUE(SignatureHolds(kPublic, kMessage, kSignature));
  EXPECT_FALSE(SignatureHolds(kPublic, "\xaf\x83", kSignature));
  std::string other = kSignature;
  other.back() = 'b';
  EXPECT_FALSE(SignatureHolds(kPublic, kMessage, other));
  std::string other_key = kPublic;
  other_key.front() = 'e';
  EXPECT_FALSE(SignatureHolds(other_key, kMessage, kSignature));
  EXPECT_FALSE(SignatureHolds(kPublic, kMessage, "no hex"));
  EXPECT_FALSE(SignatureHolds("", kMessage, kSignature));
}

}  // namespace
}  // namespace app::book
