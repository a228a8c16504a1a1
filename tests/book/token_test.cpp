#include "app/book/token.h"

#include <gmock/gmock.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "app/book/book.h"
#include "app/book/signoff.h"
#include "app/book/verify.h"
#include "tests/book/support.h"

/// Keys on a token that a program stands for (Debian's softhsm2). Everything invented.
namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

const char* const kModules[] = {"/usr/lib/softhsm/libsofthsm2.so", "/usr/lib/x86_64-linux-gnu/softhsm/libsofthsm2.so",
                                "/usr/lib/aarch64-linux-gnu/softhsm/libsofthsm2.so"};

class TokenTest : public testing::Test {
 protected:
  void SetUp() override {
    for (const char* file : kModules)
      if (module_.empty() && fs::exists(file)) module_ = file;
    if (module_.empty() || std::system("command -v softhsm2-util >/dev/null") != 0)
      GTEST_SKIP() << "softhsm2 is not installed (scripts/setup names it): keys on a token are not tested.";
    folder_ = fs::temp_directory_path() / ("rootscroll_token_" + std::to_string(::getpid()));
    fs::create_directories(folder_ / "tokens");
    Write(folder_ / "softhsm2.conf",
          "directories.tokendir = " + (folder_ / "tokens").string() + "\nlog.level = ERROR\n");
    ::setenv("SOFTHSM2_CONF", (folder_ / "softhsm2.conf").c_str(), 1);
    Softhsm("--init-token --free --label Workshop --so-pin 99887766 --pin 4711");
  }
  void TearDown() override { fs::remove_all(folder_); }

  void Softhsm(const std::string& arguments) {
    ASSERT_EQ(std::system(("softhsm2-util " + arguments + " >" + (folder_ / "said").string() + " 2>&1").c_str()), 0)
        << Bytes(folder_ / "said");
  }

  TokenAddress At(const std::string& object, const std::string& token = "Workshop") const {
    return {token, object, module_, ""};
  }
  std::string Refusal(const TokenAddress& address, const std::string& pin) const {
    auto key = TokenKey::Find(address, pin);
    return key.ok() ? "found" : key.error().message;
  }

  fs::path folder_;
  std::string module_;
};

// RFC 8032, section 7.1, TEST 3; the key laid into the token in the form of RFC 8410, section 7.
TEST_F(TokenTest, SignsAsRfc8032Does) {
  const std::string raw = "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7";
  std::string pkcs8 = "\x30\x2e\x02\x01\x30\x30\x05\x06\x03\x2b\x65\x70\x04\x22\x04\x20";
  pkcs8[4] = '\0';  // version 0
  for (std::size_t i = 0; i < raw.size(); i += 2) pkcs8 += static_cast<char>(std::stoi(raw.substr(i, 2), nullptr, 16));
  Write(folder_ / "key.der", pkcs8);
  ASSERT_EQ(std::system(("openssl pkey -inform DER -in " + (folder_ / "key.der").string() + " -out " +
                         (folder_ / "key.pem").string())
                            .c_str()),
            0);
  Softhsm("--import " + (folder_ / "key.pem").string() + " --token Workshop --label rfc --id 01 --pin 4711");
  const auto key = TokenKey::Find(At("rfc"), "4711");
  ASSERT_TRUE(key.ok()) << key.error().message;
  EXPECT_EQ(key.value().PublicHex(), "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025");
  const auto signature = key.value().Sign("\xaf\x82");
  ASSERT_TRUE(signature.ok()) << signature.error().message;
  EXPECT_EQ(
      signature.value(),
      "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed"
      "28dc027beceea1ec40a");
}

TEST_F(TokenTest, AKeyMadeOnTheTokenSignsARevisionThatVerifies) {
  {
    const auto made = TokenKey::Make(At("c.examiner"), "4711");
    ASSERT_TRUE(made.ok()) << made.error().message;
  }
  EXPECT_THAT(TokenKey::Make(At("c.examiner"), "4711").error().message, HasSubstr("never written over"));
  auto book = Book::Create((folder_ / "a.book").string()).value();
  Saved(*book, SmallRecord("J-1"), 0);
  const auto key = TokenKey::Find(At("c.examiner"), "4711");
  ASSERT_TRUE(key.ok()) << key.error().message;
  ASSERT_FALSE(RegisterKey(*book, "C. Examiner", key.value().PublicHex(), "B. Approver"));
  const auto signoff = Sign(*book, GoodStatement("J-1"), key.value());
  ASSERT_TRUE(signoff.ok()) << signoff.error().message;
  EXPECT_TRUE(SignatureHolds(key.value().PublicHex(), signoff.value().text, signoff.value().signature));
  const auto report = Verify(*book);
  ASSERT_TRUE(report.ok());
  EXPECT_TRUE(report.value().clean());
}

TEST_F(TokenTest, WhatCannotSignIsSaidInOneSentence) {
  EXPECT_THAT(Refusal(At("nobody"), "4711"), HasSubstr("no key pair nobody on the token Workshop"));
  EXPECT_THAT(Refusal(At("nobody", "Elsewhere"), "4711"), HasSubstr("no token Elsewhere"));
  EXPECT_THAT(Refusal(At("nobody"), "0000"), HasSubstr("refuses the PIN"));
  EXPECT_THAT(Refusal(At("nobody"), ""), HasSubstr("ROOTSCROLL_TOKEN_PIN"));
  auto address = At("nobody");
  for (const std::string file : {"/no/such/module.so", "/etc/passwd", "/dev/null"}) {
    address.module = file;
    EXPECT_THAT(Refusal(address, "4711"), HasSubstr("no PKCS #11 module")) << file;
  }
}

TEST(TokenAddress, IsWrittenAsRfc7512WritesIt) {
  const auto address = TokenAddress::Parse(
      "pkcs11:token=The%20Workshop;object=c.examiner?module-path=/usr/lib/module.so&pin-source=file:/run/pin");
  ASSERT_TRUE(address.ok()) << address.error().message;
  EXPECT_EQ(address.value().token, "The Workshop");
  EXPECT_EQ(address.value().object, "c.examiner");
  EXPECT_EQ(address.value().module, "/usr/lib/module.so");
  EXPECT_EQ(address.value().pin_source, "/run/pin");
}

TEST(TokenAddress, RefusesAPinInTheOpenAndWhatItDoesNotKnow) {
  const auto refusal = [](const std::string& text) {
    const auto address = TokenAddress::Parse("pkcs11:" + text);
    return address.ok() ? std::string("taken") : address.error().message;
  };
  EXPECT_THAT(refusal("token=a;object=b?module-path=/m.so&pin-value=4711"),
              HasSubstr("never stands on a command line"));
  EXPECT_THAT(refusal("token=a;object=b?module-path=m.so"), HasSubstr("with its whole path"));
  EXPECT_THAT(refusal("token=a;serial=b?module-path=/m.so"), HasSubstr("`serial`, which is not used"));
  EXPECT_THAT(refusal("token=a%2;object=b?module-path=/m.so"), HasSubstr("is written pkcs11:"));
  EXPECT_THAT(refusal("token=a;object=b%0Ac?module-path=/m.so"), HasSubstr("label"));
  EXPECT_THAT(refusal(""), HasSubstr("is written pkcs11:"));
}

TEST(TokenAddress, ReadsThePinFromTheFileThatItNames) {
  const auto file = fs::temp_directory_path() / ("rootscroll_pin_" + std::to_string(::getpid()));
  Write(file, "4711\nmore\n");
  TokenAddress address{"a", "b", "/m.so", file.string()};
  EXPECT_EQ(address.Pin("other").value(), "4711");
  fs::remove(file);
  EXPECT_FALSE(address.Pin("other").ok());
  address.pin_source.clear();
  EXPECT_EQ(address.Pin("other").value(), "other");
}

}  // namespace
}  // namespace book_test
