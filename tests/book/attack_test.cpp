#include <sys/stat.h>
#include <unistd.h>

#include <fstream>

#include "app/book/bundle.h"
#include "app/book/find.h"
#include "app/book/intake.h"
#include "app/book/layout.h"
#include "app/book/verify.h"
#include "tests/book/bundle_maker.h"

/// What the sender of a bundle tries who knows how it is made.
namespace book_test {
namespace {

using namespace app::book;
using nlohmann::json;
using testing::HasSubstr;

class AttackTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    auto source = Book::Create((folder_ / "source.book").string());
    ASSERT_TRUE(source.ok());
    Record record = SmallRecord("J-1");
    RecordingEntry recording{"root", "root", source.value()->evidence().Keep("{}", "joint.json").value(), {}};
    recording.files = {source.value()->evidence().Keep("a picture", "from_a.jpg").value()};
    recording.files[0].named = "from_a.jpg";
    record.cycles[0].recordings = {recording};
    AddJudged(*source.value(), record.cycles[0], 1);
    Saved(*source.value(), record, 0);
    record.cycles[0].welder = "W-13";
    Saved(*source.value(), record, 1, "stamp read again");
    ASSERT_FALSE(ExportBundle(*source.value(), "J-1", folder_ / "good.zip"));
    Saved(*book_, SmallRecord("J-9"), 0);
    before_ = State();
  }

  /// Everything in the book and in its store, as far as anybody can see.
  std::string State() {
    std::string state = book_->Seal().value().seal;
    for (const char* table : {"joint", "revision", "signoff", "inspector_key", "recording", "evidence", "cycle"})
      state += " " + book_->database().Run(std::string("SELECT count(*) FROM ") + table).value()[0].Text(0);
    state += " " + book_->LoadRecord("J-9").value().cycles[0].welder;
    for (const auto& path : book_->evidence().Everything()) state += " " + path.string();
    return state;
  }

  void ExpectRefused(const fs::path& bundle, const std::string& says, const ImportOptions& options = {true}) {
    auto report = ImportBundle(*book_, bundle, options);
    ASSERT_FALSE(report.ok()) << says;
    EXPECT_THAT(report.error().message, HasSubstr(says));
    EXPECT_EQ(State(), before_) << says;
  }

  std::string before_;
};
ON_BOTH_ENGINES(AttackTest);

TEST_P(AttackTest, TheGoodOneIsTakenIn) {
  auto report = ImportBundle(*book_, folder_ / "good.zip");
  ASSERT_TRUE(report.ok()) << report.error().message;
  EXPECT_FALSE(report.value().without_sum);
  auto verified = Verify(*Connect());
  for (const auto& fault : verified.value().faults) ADD_FAILURE() << fault.text;
  for (const auto& remark : verified.value().remarks) ADD_FAILURE() << remark.text;
}

TEST_P(AttackTest, AFileThatWouldBeLaidElsewhereIsRefusedAtEveryDepthAndInEveryPlace) {
  for (const std::string name : {"../planted", "../../../planted", "/var/planted", "a/../../planted", "..", "a\\..\\b"})
    for (const char* where : {"/cycles/0/recordings/0/files/0/name", "/cycles/0/recordings/0/joint_file/name",
                              "/cycles/0/readings/0/reading/name", "/cycles/0/verdicts/0/file/name"}) {
      BundleMaker maker(folder_ / "good.zip");
      maker.ChangeRecords([&](json& record) { record[json::json_pointer(where)] = name; });
      ExpectRefused(maker.Write(folder_ / "bad.zip"), "name must be a file's name");
    }
}

TEST_P(AttackTest, ABookOfBeforeThatHoldsSuchANameLaysNothingOut) {
  RecordingEntry recording{"root", "root", book_->evidence().Keep("{}", "joint.json").value(), {}};
  recording.files = {book_->evidence().Keep("a picture", "../../../planted").value()};
  recording.files[0].named = "x";
  auto work = WorkFolder::Lay(*book_, recording, folder_ / "work" / "a" / "b");
  ASSERT_FALSE(work.ok());
  EXPECT_THAT(work.error().message, HasSubstr("without a folder"));
  EXPECT_FALSE(fs::exists(fs::symlink_status(folder_ / "work" / "planted")));
  EXPECT_FALSE(fs::exists(fs::symlink_status(folder_ / "planted")));
}

TEST_P(AttackTest, ARecordOfAnotherJointIsRefused) {
  BundleMaker maker(folder_ / "good.zip");
  maker.ChangeRecords([](json& record) { record["joint"] = "J-9"; });
  ExpectRefused(maker.Write(folder_ / "bad.zip"), "its record of joint J-9");
  BundleMaker mixed(folder_ / "good.zip");
  mixed.history["revisions"][1]["joint"] = "J-9";
  ExpectRefused(mixed.Write(folder_ / "bad.zip"), "of another joint");
}

TEST_P(AttackTest, AReferenceToADeviceOrToNothingIsRefusedAndNeverRead) {
  ASSERT_EQ(::mkfifo((folder_ / "pipe").c_str(), 0600), 0);
  const std::vector<std::string> paths{"/dev/zero", (folder_ / "pipe").string(), "/etc/hostname"};
  for (const auto& path : paths) {
    BundleMaker maker(folder_ / "good.zip");
    maker.ChangeRecords([&](json& record) {
      record["cycles"][0]["film"] = {{{"sha256", std::string(64, 'a')},
                                      {"bytes", 1 << 30},
                                      {"name", "film.png"},
                                      {"kind", "original"},
                                      {"held", "referenced"},
                                      {"path", path}}};
    });
    ExpectRefused(maker.Write(folder_ / "bad.zip"), "which the bundle lacks");
    Record record = SmallRecord("J-8");  // `put` of the same
    record.cycles[0].film.resize(1);
    record.cycles[0].film[0] = {
        std::string(64, 'a'), 1 << 30, "film.png", "", "original", "referenced", path, {}, "", "", ""};
    EXPECT_FALSE(book_->Save({record, 0, "A. Example", "first entry", {}}).ok()) << path;
  }
}

TEST_P(AttackTest, AFifoADeviceOrALinkInTheStoreIsNamedAndDoesNotHang) {
  const FileRef film = book_->evidence().Keep("film", "film.png").value();
  Record record = SmallRecord("J-7");
  record.cycles[0].film = {film};
  Saved(*book_, record, 0);
  const auto path = book_->evidence().PathOf(film);
  const auto faults = [&] {
    std::string texts;
    auto report = Verify(*Connect());
    for (const auto& fault : report.value().faults) texts += fault.what + ": " + fault.text + "\n";
    return texts;
  };
  fs::remove(path);
  ASSERT_EQ(::mkfifo(path.c_str(), 0600), 0);
  EXPECT_THAT(faults(), HasSubstr("film.png"));
  EXPECT_FALSE(ExportBundle(*book_, "J-7", folder_ / "none.zip") == std::nullopt);
  fs::remove(path);
  fs::create_symlink("/dev/zero", path);
  EXPECT_THAT(faults(), HasSubstr("is no regular file"));
  fs::remove(path);
  ASSERT_TRUE(book_->evidence().Keep("film", "film.png").ok());
  EXPECT_EQ(faults(), "");
  ASSERT_EQ(::mkfifo((book_->evidence().folder() / "pipe").c_str(), 0600), 0);
  EXPECT_THAT(faults(), HasSubstr("evidence: The evidence store holds"));
}

TEST_P(AttackTest, SizesAreBoundedBeforeAnythingIsUnpacked) {
  BundleMaker maker(folder_ / "good.zip");
  maker.history["revisions"][0]["reason"] = std::string(8 << 20, ' ');  // 8 MiB in a few KiB of zip
  const auto bomb = maker.Write(folder_ / "bomb.zip");
  EXPECT_LT(fs::file_size(bomb), 100000u);
  ExpectRefused(bomb, "at most", {true, 1u << 30, 1u << 20});
  BundleMaker large(folder_ / "good.zip");
  ExpectRefused(large.Write(folder_ / "large.zip"), "bytes of files", {true, 1000, 1u << 20});
  BundleMaker lies(folder_ / "good.zip");
  ExpectRefused(lies.Write(folder_ / "lies.zip", [](json& manifest) { manifest["files"][0]["bytes"] = 1; }),
                "not as large as the manifest says");
  BundleMaker deep(folder_ / "good.zip");
  deep.ChangeRecords([](json&) {});
  deep.history["revisions"][0]["body"] = std::string(100000, '[') + std::string(100000, ']');
  ExpectRefused(deep.Write(folder_ / "deep.zip"), "");
}

TEST_P(AttackTest, NoFileComesInThatNoRevisionNames) {
  BundleMaker maker(folder_ / "good.zip");
  maker.files["files/" + Sha256("stowaway")] = "stowaway";
  ExpectRefused(maker.Write(folder_ / "bad.zip"), "no revision names");
  BundleMaker other(folder_ / "good.zip");
  other.files["../../planted"] = "planted";
  ExpectRefused(other.Write(folder_ / "bad.zip"), "has no place in a bundle");
  BundleMaker twice(folder_ / "good.zip");
  twice.files.begin()->second = "other bytes";
  ExpectRefused(twice.Write(folder_ / "bad.zip"), "has no place in a bundle");
}

TEST_P(AttackTest, ARefusalAtTheLastMomentLeavesNothing) {
  BundleMaker maker(folder_ / "good.zip");  // all is right but the verdict, which is looked at last
  maker.ChangeRecords([](json& record) {
    record["cycles"][0]["verdicts"][0]["disposition"] = "proposed: within";
    record["cycles"][0]["verdicts"][0]["exit_code"] = 0;
  });
  ExpectRefused(maker.Write(folder_ / "bad.zip"), "is not borne out");
}

TEST_P(AttackTest, TextsOfABundleGoThroughTheGate) {
  for (const char* key : {"author", "reason", "login"}) {
    BundleMaker maker(folder_ / "good.zip");
    for (auto& revision : maker.history["revisions"]) revision[key] = "x\x1b[2K";
    maker.ChangeRecords([](json&) {});
    ExpectRefused(maker.Write(folder_ / "bad.zip"), "U+001B");
  }
  BundleMaker maker(folder_ / "good.zip");
  maker.ChangeRecords([](json& record) { record["line"] = "\xe2\x80\xae"; });
  ExpectRefused(maker.Write(folder_ / "bad.zip"), "U+202E");
}

TEST_P(AttackTest, AKeyThatSignedNothingOrCanBeForgedIsNotBroughtIn) {
  BundleMaker maker(folder_ / "good.zip");
  const auto key = PrivateKey::FromRaw(std::string(64, '5')).value().PublicHex();
  maker.history["keys"][Fingerprint(key)] = {
      {"name", "C. Examiner"}, {"public_hex", key}, {"added_by", "me"}, {"added_at", "2026"}};
  ExpectRefused(maker.Write(folder_ / "bad.zip"), "nothing is signed with the key");
}

TEST_P(AttackTest, EveryBitOfABundleCounts) {
  const std::string good = Bytes(folder_ / "good.zip");
  const std::size_t step = postgres() ? 97 : 7;
  for (std::size_t bit = 0; bit < 8 * good.size(); bit += step) {
    std::string bad = good;
    bad[bit / 8] = static_cast<char>(bad[bit / 8] ^ (1 << bit % 8));
    Write(folder_ / "flipped.zip", bad);
    auto report = ImportBundle(*book_, folder_ / "flipped.zip", {true});
    ASSERT_FALSE(report.ok()) << "bit " << bit;
  }
  EXPECT_EQ(State(), before_);
}

TEST_P(AttackTest, ABundleOfAnEarlyVersionIsTakenInAndSaidToBeOne) {
  BundleMaker maker(folder_ / "good.zip");
  maker.format = "rootscroll.bundle/1";
  auto report = ImportBundle(*book_, maker.Write(folder_ / "early.zip"));
  ASSERT_TRUE(report.ok()) << report.error().message;
  EXPECT_TRUE(report.value().without_sum);
}

}  // namespace
}  // namespace book_test
