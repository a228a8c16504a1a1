#include <gmock/gmock.h>

#include <ctime>

#include "tests/cli/program.h"

/// What comes out of the program on a terminal, and what it does not do on a wrong word.
namespace cli_test {
namespace {

using testing::HasSubstr;
using testing::Not;
namespace fs = std::filesystem;

class Trust : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = DemoCopy("trust");
    book_ = (folder_ / "a.book").string();
    ASSERT_EQ(RunProgram({"book", "new", book_}).exit_code, 0);
  }
  void TearDown() override { fs::remove_all(folder_); }
  Outcome Put(const std::string& record, const std::string& author = "A. Example",
              const std::string& reason = "first") {
    Write(folder_ / "record.json", record);
    return RunProgram({"book", "put", book_, (folder_ / "record.json").string(), "--on", "0", "--author", author,
                       "--reason", reason});
  }
  fs::path folder_;
  std::string book_;
};

TEST_F(Trust, NoLineIsForgedAndNoTerminalObeys) {
  const std::string record = R"({"format":"rootscroll.record/1","joint":"J-1","cycles":[{"id":"R0"}]})";
  for (const std::string bad :
       {"x\n9  2026-01-01T00:00:00Z  D. Other", "x\x1b[2K", "x\xe2\x80\xae", "\xef\xbb\xbfx", "x\xc2\x9b"}) {
    const auto outcome = Put(record, bad);
    EXPECT_EQ(outcome.exit_code, 2);
    EXPECT_EQ(std::count(outcome.err.begin(), outcome.err.end(), '\n'), 1) << outcome.err;
    EXPECT_EQ(outcome.err.find('\x1b'), std::string::npos);
  }
  const auto key =
      Put(R"({"format":"rootscroll.record/1","joint":"J-1","cycles":[{"id":"R0","we\u001b[2Klder":"x"}]})");
  EXPECT_EQ(key.exit_code, 2);
  EXPECT_THAT(key.err, Not(HasSubstr("\x1b")));
  EXPECT_THAT(RunProgram({"book", "list", book_}).out, Not(HasSubstr("J-1")));
  const auto good = Put(record);
  EXPECT_EQ(good.exit_code, 0) << good.err;
  EXPECT_THAT(good.out, HasSubstr("Seal 1: "));
  EXPECT_EQ(RunProgram({"book", "verify", book_}).exit_code, 0);
}

TEST_F(Trust, LibrariesDoNotSpeak) {
  const std::vector<std::string> records{
      "{\"joint\": [[[",
      "[]",
      "nul",
      R"({"format":"rootscroll.record/1","joint":5})",
      R"({"format":"rootscroll.record/1","cycles":[{"id":"R0","verdicts":[{"exit_code":"x"}]}]})",
      R"({"format":"rootscroll.record/1","cycles":[{"id":"R0","verdicts":[{"exit_code":1e300}]}]})",
      std::string(200000, '[')};
  for (const auto& record : records) {
    const auto outcome = Put(record);
    EXPECT_EQ(outcome.exit_code, 2);
    for (const char* word : {"json.exception", "type_error", "parse_error", "OpenCV", "SQL", "valijson"})
      EXPECT_THAT(outcome.err, Not(HasSubstr(word))) << outcome.err;
  }
}

TEST_F(Trust, VerifyAsksForASealAndTakesNoEmptyOne) {
  ASSERT_EQ(Put(R"({"format":"rootscroll.record/1","joint":"J-1","cycles":[{"id":"R0"}]})").exit_code, 0);
  EXPECT_THAT(RunProgram({"book", "verify", book_}).out, HasSubstr("No seal was given"));
  EXPECT_EQ(RunProgram({"book", "verify", book_, "--seal", ""}).exit_code, 2);
  EXPECT_EQ(RunProgram({"book", "verify", book_, "--seal", "x"}).exit_code, 2);
  const auto witness = (folder_ / "seals.txt").string();
  ASSERT_EQ(RunProgram({"book", "seal", book_, "--witness", witness}).exit_code, 0);
  const auto sealed = RunProgram({"book", "verify", book_, "--witness", witness});
  EXPECT_EQ(sealed.exit_code, 0);
  EXPECT_THAT(sealed.out, Not(HasSubstr("No seal was given")));
  Write(witness, "1 " + std::string(64, 'a') + " 2026-03-01T08:00:00Z\n");
  EXPECT_EQ(RunProgram({"book", "verify", book_, "--witness", witness}).exit_code, 1);
}

TEST_F(Trust, AReadingChangedByHandAfterItWasJudgedIsRemarkedOn) {
  const auto joint = (folder_ / "joint.json").string(), out = (folder_ / "out").string();
  Write(joint, DemoJoint().dump(1));
  ASSERT_NE(RunProgram({"measure", joint, "--recording", "root", "--out", out}).exit_code, 2);
  auto judged = RunProgram({"judge", out, "--joint", joint});
  EXPECT_THAT(judged.out, Not(HasSubstr("changed after it was first judged")));
  std::string reading = Bytes(fs::path(out) / "reading.json");
  const auto at = reading.find("\"width_mm\": [\n") + 14;
  const auto digit = reading.find_first_of("0123456789", at);
  reading[digit] = reading[digit] == '1' ? '2' : '1';
  Write(fs::path(out) / "reading.json", reading);
  for (int time = 0; time < 2; ++time) {  // the remark stays
    judged = RunProgram({"judge", out, "--joint", joint});
    EXPECT_THAT(judged.out, HasSubstr("changed after it was first judged"));
  }
  ASSERT_NE(RunProgram({"measure", joint, "--recording", "root", "--out", out}).exit_code, 2);
  EXPECT_THAT(RunProgram({"judge", out, "--joint", joint}).out, Not(HasSubstr("changed after it was first judged")));
}

TEST_F(Trust, AnOrientationIsSaidAndTurnsNothing) {
  const auto joint = (folder_ / "joint.json").string(), out = (folder_ / "out").string();
  Write(joint, DemoJoint().dump(1));
  ASSERT_NE(RunProgram({"measure", joint, "--recording", "root", "--out", out}).exit_code, 2);
  const auto plain = nlohmann::json::parse(Bytes(fs::path(out) / "reading.json"));
  // Exif 2.3, 4.6.4: tag 0x0112 = 3, turned by 180 degrees.
  const std::string exif(
      "\xff\xe1\0\x22"
      "Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0\x03\0\0\0\0\0\0\0",
      36);
  const std::string bytes = Bytes(folder_ / "from_a.jpg");
  fs::remove(folder_ / "from_a.jpg");
  Write(folder_ / "from_a.jpg", bytes.substr(0, 2) + exif + bytes.substr(2));
  ASSERT_NE(RunProgram({"measure", joint, "--recording", "root", "--out", out}).exit_code, 2);
  const auto turned = nlohmann::json::parse(Bytes(fs::path(out) / "reading.json"));
  EXPECT_EQ(turned["profile"], plain["profile"]);
  EXPECT_THAT(turned["notes"].dump(), HasSubstr("1 stills ask to be turned (EXIF orientation 3)"));
  EXPECT_THAT(plain["notes"].dump(), Not(HasSubstr("EXIF")));
}

TEST_F(Trust, ADamagedStillIsNotMeasured) {
  const auto joint = (folder_ / "joint.json").string();
  std::string bytes = Bytes(folder_ / "from_a.jpg");
  for (std::size_t i = 0; i < 3; ++i) bytes[bytes.size() * 4 / 5 + 40 * i] = static_cast<char>(0xD3 + i);
  Write(folder_ / "damaged.jpg", bytes);
  auto facts = DemoJoint();
  facts["recordings"][0]["frames"][0]["file"] = "damaged.jpg";
  Write(joint, facts.dump(1));
  const auto outcome = RunProgram({"measure", joint, "--recording", "root", "--out", (folder_ / "out").string()});
  EXPECT_EQ(outcome.exit_code, 2) << outcome.out;
  EXPECT_THAT(outcome.err, HasSubstr("damaged.jpg is damaged"));
  EXPECT_FALSE(fs::exists(folder_ / "out"));
}

TEST_F(Trust, APinIsNeverTakenFromTheCommandLine) {
  const std::string key = "pkcs11:token=Workshop;object=mine?module-path=/no/such/module.so";
  const auto open = RunProgram({"book", "key", key + "&pin-value=4711"});
  EXPECT_EQ(open.exit_code, 2);
  EXPECT_THAT(open.err, HasSubstr("A PIN never stands on a command line"));
  const auto none = RunProgram({"book", "key", key});
  EXPECT_EQ(none.exit_code, 2);
  EXPECT_THAT(none.err, HasSubstr("/no/such/module.so is no PKCS #11 module"));
  EXPECT_EQ(std::count(none.err.begin(), none.err.end(), '\n'), 1) << none.err;
}

TEST_F(Trust, ASignOffStandsWithoutTheTrustedTimeThatWasAskedFor) {
  ASSERT_EQ(Put(R"({"format":"rootscroll.record/1","joint":"J-1","cycles":[{"id":"R0"}]})").exit_code, 0);
  const auto key = (folder_ / "key.pem").string();
  const auto made = RunProgram({"book", "key", key});
  ASSERT_EQ(made.exit_code, 0) << made.err;
  const std::string hex = made.out.substr(made.out.find(": ") + 2, 64);
  EXPECT_EQ(RunProgram({"book", "key", key, "--show"}).out, made.out);
  ASSERT_EQ(
      RunProgram({"book", "trust", book_, "--name", "C. Examiner", "--key", hex, "--author", "B. Approver"}).exit_code,
      0);
  std::string today(11, '\0');
  const std::time_t now = std::time(nullptr);
  today.resize(std::strftime(today.data(), today.size(), "%Y-%m-%d", std::gmtime(&now)));
  const auto signed_off = RunProgram({"book",
                                      "sign",
                                      book_,
                                      "J-1",
                                      "--revision",
                                      "1",
                                      "--key",
                                      key,
                                      "--name",
                                      "C. Examiner",
                                      "--role",
                                      "inspector",
                                      "--qualification",
                                      "VT level 2, certificate 77",
                                      "--qualification-expires",
                                      "2999-12-31",
                                      "--vision-test",
                                      today,
                                      "--procedure",
                                      "P-1",
                                      "--light",
                                      "1100 lx",
                                      "--resolution",
                                      "0.1 mm line seen",
                                      "--statement",
                                      "Examined.",
                                      "--time-server",
                                      "http://127.0.0.1:1/"});  // nobody listens there
  EXPECT_EQ(signed_off.exit_code, 2);
  EXPECT_THAT(signed_off.out, HasSubstr("examined and signed by C. Examiner"));
  EXPECT_THAT(signed_off.err, HasSubstr("The sign-off stands, without trusted time (`book stamp` asks again)"));
  const auto stamped = RunProgram({"book", "stamp", book_, "J-1", "--time-server", "http://127.0.0.1:1/"});
  EXPECT_EQ(stamped.exit_code, 2);
  const auto verified = RunProgram({"book", "verify", book_});
  EXPECT_EQ(verified.exit_code, 0) << verified.out;
  EXPECT_THAT(verified.out, HasSubstr("1 sign-offs, "));
}

}  // namespace
}  // namespace cli_test
