#include "app/book/verify.h"

#include "app/book/signoff.h"
#include "tests/book/support.h"

namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

/// A book with one joint that names an original, a derived picture and a sign-off.
class VerifyTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    Record record = SmallRecord("J-1");
    original_ = book_->evidence().Keep("the camera's own bytes", "VID0031.avi").value();
    original_.clock = "2026-03-01T07:12:00";
    original_.zone = "recorder set to UTC+1";
    derived_ = book_->evidence().Keep("a strip made from it", "strip.png").value();
    derived_.kind = "derived";
    derived_.from = {original_.sha256};
    derived_.settings = "rootscroll 0.1.0, pitch 0.1 mm";
    record.cycles[0].film = {original_, derived_};
    Saved(*book_, record, 0);
    record.cycles[0].welder = "W-13";
    Saved(*book_, record, 1, "stamp read again");
    Saved(*book_, SmallRecord("J-2"), 0);
    key_ = std::make_unique<PrivateKey>(PrivateKey::Make(folder_ / "key.pem", "").value());
    ASSERT_FALSE(RegisterKey(*book_, "C. Examiner", key_->PublicHex(), "owner"));
    auto signoff = Sign(*book_, GoodStatement("J-1", 2), *key_);
    ASSERT_TRUE(signoff.ok()) << signoff.error().message;
    ASSERT_THAT(Faults(), testing::IsEmpty());
  }

  std::vector<std::string> Faults(const VerifyOptions& options = {}) {
    auto report = Verify(*Connect(), options);
    EXPECT_TRUE(report.ok()) << report.error().message;
    std::vector<std::string> texts;
    if (report.ok())
      for (const auto& fault : report.value().faults) texts.push_back(fault.what + ": " + fault.text);
    return texts;
  }

  FileRef original_, derived_;
  std::unique_ptr<PrivateKey> key_;
};
ON_BOTH_ENGINES(VerifyTest);

TEST_P(VerifyTest, CountsWhatItLookedAt) {
  auto report = Verify(*book_);
  ASSERT_TRUE(report.ok());
  EXPECT_EQ(report.value().joints, 2);
  EXPECT_EQ(report.value().revisions, 3);
  EXPECT_EQ(report.value().signoffs, 1);
  EXPECT_EQ(report.value().files, 2);
  EXPECT_EQ(report.value().seal, book_->Seal().value().seal);
}

TEST_P(VerifyTest, NamesAnOriginalOfWhichOneByteChanged) {
  FlipByte(book_->evidence().PathOf(original_), 4);
  EXPECT_THAT(Faults(), testing::ElementsAre(testing::AllOf(testing::StartsWith("original:"), HasSubstr("VID0031.avi"),
                                                            HasSubstr("has changed"))));
  EXPECT_FALSE(book_->evidence().Read(original_).ok());
}

TEST_P(VerifyTest, NamesADerivedPictureOfWhichOneByteChanged) {
  FlipByte(book_->evidence().PathOf(derived_), 0);
  EXPECT_THAT(Faults(), testing::ElementsAre(testing::AllOf(testing::StartsWith("derived:"), HasSubstr("strip.png"))));
}

TEST_P(VerifyTest, WhatBelongsToARepairIsProvedToo) {
  Record record = SmallRecord("J-4");
  const auto kept = [&](const std::string& name, bool derived) {
    FileRef ref = book_->evidence().Keep("bytes of " + name, name).value();
    if (derived) ref.kind = "derived", ref.from = {original_.sha256}, ref.settings = "some";
    return ref;
  };
  record.cycles[0].repairs.push_back(
      {kept("repair.json", false), kept("repair_plan.json", true), {kept("card.pdf", true)}, "spot", "go"});
  record.cycles[0].changes.push_back({"R0", kept("change.json", true), {kept("change_after.png", true)}});
  record.cycles[0].notes.push_back(kept("joint.notes.json", false));
  Saved(*book_, record, 0);
  ASSERT_THAT(Faults(), testing::IsEmpty());
  const Record again = book_->LoadRecord("J-4").value();
  EXPECT_EQ(again.cycles[0].repairs.at(0).answer, "go");
  for (const auto* file : again.Files()) {
    FlipByte(book_->evidence().PathOf(*file), 3);
    EXPECT_THAT(Faults(), testing::ElementsAre(HasSubstr(file->name)));
    FlipByte(book_->evidence().PathOf(*file), 3);
  }
  EXPECT_EQ(again.Files().size(), 6u);
}

TEST_P(VerifyTest, NamesAFileThatIsGone) {
  fs::remove(book_->evidence().PathOf(original_));
  EXPECT_THAT(Faults(), testing::ElementsAre(testing::AllOf(HasSubstr("VID0031.avi"), HasSubstr("is missing"))));
  EXPECT_THAT(Faults({false, "", {}}), testing::IsEmpty());
}

TEST_P(VerifyTest, NamesARevisionOfWhichOneByteChanged) {
  Tamper("UPDATE revision SET body = replace(body, 'W-12', 'W-92') WHERE joint = 'J-1' AND number = 1");
  EXPECT_THAT(Faults(),
              testing::Contains(testing::AllOf(testing::StartsWith("revision:"), HasSubstr("Joint J-1, revision 1"),
                                               HasSubstr("no longer what was saved"))));
}

TEST_P(VerifyTest, NamesARevisionWhoseAuthorTimeOrReasonChanged) {
  for (const char* column : {"author", "login", "made_at", "reason", "parent"}) {
    Tamper(std::string("UPDATE revision SET ") + column + " = " + column +
           " || '1' WHERE joint = 'J-1' AND number = 2");
    EXPECT_THAT(Faults(), testing::Contains(HasSubstr("Joint J-1, revision 2 is no longer what was saved"))) << column;
    Tamper(std::string("UPDATE revision SET ") + column + " = substr(" + column + ", 1, length(" + column +
           ") - 1) WHERE joint = 'J-1' AND number = 2");
    EXPECT_THAT(Faults(), testing::IsEmpty()) << column;
  }
}

TEST_P(VerifyTest, ASignedRevisionRewrittenWithItsHashIsShownAsBroken) {
  // Somebody who knows how the hash is made changes the record and works out hash, child and tables again.
  Revision forged = book_->Load("J-1", 2).value();
  forged.body.replace(forged.body.find("W-13"), 4, "W-93");
  const std::string old_hash = forged.hash;
  forged.hash = forged.ComputeHash();
  Tamper("UPDATE revision SET body = '" + forged.body + "', hash = '" + forged.hash + "' WHERE hash = '" + old_hash +
         "'");
  Tamper("UPDATE joint SET head_hash = '" + forged.hash + "', welder = 'W-93' WHERE id = 'J-1'");
  const auto faults = Faults();
  EXPECT_THAT(faults, testing::Contains(testing::AllOf(testing::StartsWith("signature:"), HasSubstr("C. Examiner"),
                                                       HasSubstr("changed after it was signed"))));
  EXPECT_THAT(faults, testing::Contains(testing::StartsWith("journal:")));
}

TEST_P(VerifyTest, NamesASignatureOrStatementOfWhichOneByteChanged) {
  const std::string signature = SignOffs(*book_, "J-1").value().at(0).signature;
  const std::string flipped = std::string(1, signature[0] == '0' ? '1' : '0') + signature.substr(1);
  Tamper("UPDATE signoff SET signature = '" + flipped + "'");
  EXPECT_THAT(Faults(), testing::Contains(testing::AllOf(testing::StartsWith("signature:"), HasSubstr("C. Examiner"))));
  Tamper("UPDATE signoff SET signature = '" + signature + "', statement = replace(statement, '1100 lx', '1900 lx')");
  EXPECT_THAT(Faults(), testing::Contains(testing::StartsWith("signature:")));
}

TEST_P(VerifyTest, ASignOffTakenOutIsMissedByTheJournal) {
  Tamper("DELETE FROM signoff");
  EXPECT_THAT(Faults(), testing::Contains(HasSubstr("names a signoff that is not in the book")));
}

TEST_P(VerifyTest, TheLastRevisionTakenOutWithAllItsTracesIsMissedBySealNotedEarlier) {
  const std::string noted = book_->Seal().value().seal;
  Tamper("DELETE FROM signoff");
  Tamper("DELETE FROM journal WHERE seq = 5");
  Tamper("UPDATE book_head SET seq = 4, seal = (SELECT seal FROM journal WHERE seq = 4)");
  EXPECT_THAT(Faults(), testing::IsEmpty());  // nothing inside the book can tell
  EXPECT_THAT(Faults({true, noted, {}}), testing::ElementsAre(HasSubstr("is not in the journal")));
}

TEST_P(VerifyTest, SearchTablesThatSayOtherwiseAreNamed) {
  Tamper("UPDATE cycle SET welder = 'W-99' WHERE joint = 'J-2'");
  EXPECT_THAT(Faults(), testing::ElementsAre(testing::AllOf(testing::StartsWith("table:"), HasSubstr("J-2"))));
}

TEST_P(VerifyTest, AReferencedOriginalIsProvedWhereItLies) {
  Write(folder_ / "big.avi", "stays where it is");
  auto ref = book_->evidence().Refer(folder_ / "big.avi");
  ASSERT_TRUE(ref.ok());
  Record record = SmallRecord("J-3");
  record.cycles[0].film.push_back(ref.value());
  Saved(*book_, record, 0);
  EXPECT_THAT(Faults(), testing::IsEmpty());
  FlipByte(folder_ / "big.avi", 1);
  EXPECT_THAT(Faults(), testing::ElementsAre(HasSubstr("big.avi")));
}

TEST_P(VerifyTest, EvidenceIsNeverWrittenOverAndSaysSoWhenAsked) {
  auto again = book_->evidence().Keep("the camera's own bytes", "copy.avi");
  ASSERT_TRUE(again.ok());
  EXPECT_EQ(again.value().sha256, original_.sha256);
  EXPECT_EQ(fs::status(book_->evidence().PathOf(original_)).permissions() & fs::perms::owner_write, fs::perms::none);
}

TEST_P(VerifyTest, ADamagedFileInTheStoreIsNotTakenForTheOneThatComesIn) {
  FlipByte(book_->evidence().PathOf(original_), 4);
  auto again = book_->evidence().Keep("the camera's own bytes", "copy.avi");
  ASSERT_FALSE(again.ok());
  EXPECT_THAT(again.error().message, HasSubstr("damaged"));
}

TEST_P(VerifyTest, ASignOffLacksNothing) {
  const auto refusal = [&](auto change) {
    Statement statement = GoodStatement("J-1", 2);
    change(statement);
    auto signoff = Sign(*book_, statement, *key_);
    return signoff.ok() ? std::string("signed") : signoff.error().message;
  };
  EXPECT_THAT(refusal([](Statement& s) { s.qualification_expires = "2020-01-31"; }),
              HasSubstr("expired on 2020-01-31"));
  EXPECT_THAT(refusal([](Statement& s) { s.vision_test = "2999-01-01"; }), HasSubstr("vision test"));
  EXPECT_THAT(refusal([](Statement& s) { s.vision_test = "last year"; }), HasSubstr("as dates"));
  EXPECT_THAT(refusal([](Statement& s) { s.light_level = ""; }), HasSubstr("light_level"));
  EXPECT_THAT(refusal([](Statement& s) { s.resolution = ""; }), HasSubstr("resolution"));
  EXPECT_THAT(refusal([](Statement& s) { s.procedure = ""; }), HasSubstr("procedure"));
  EXPECT_THAT(refusal([](Statement& s) { s.kind = "passed"; }), HasSubstr("examined or approved"));
  EXPECT_THAT(refusal([](Statement& s) { s.name = "D. Nobody"; }), HasSubstr("does not know this key"));
  EXPECT_THAT(refusal([](Statement& s) { s.joint = "J-99"; }), HasSubstr("no joint J-99"));
  EXPECT_THAT(refusal([](Statement& s) { s.kind = "approved"; }), HasSubstr("somebody else must approve it"));
}

TEST_P(VerifyTest, AKeyWithAPassphraseOpensWithItAlone) {
  const auto file = folder_ / "locked.pem";
  ASSERT_TRUE(PrivateKey::Make(file, "correct horse").ok());
  EXPECT_EQ(fs::status(file).permissions() & fs::perms::all, fs::perms::owner_read | fs::perms::owner_write);
  EXPECT_FALSE(PrivateKey::Load(file, "").ok());
  EXPECT_FALSE(PrivateKey::Load(file, "wrong").ok());
  EXPECT_TRUE(PrivateKey::Load(file, "correct horse").ok());
  EXPECT_FALSE(PrivateKey::Make(file, "").ok());
}

}  // namespace
}  // namespace book_test
