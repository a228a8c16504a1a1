#include <openssl/evp.h>

#include "app/book/bundle.h"
#include "app/book/find.h"
#include "app/book/roles.h"
#include "app/book/verify.h"
#include "app/book/witness.h"
#include "app/joint/verdict.h"
#include "tests/book/bundle_maker.h"

/// What a colleague with the right to write tries: a verdict that nobody gave, a sign-off that says other than it
/// shows.
namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

std::vector<std::string> FaultsOf(Book& book, const VerifyOptions& options = {}) {
  auto report = Verify(book, options);
  EXPECT_TRUE(report.ok());
  std::vector<std::string> texts;
  for (const auto& fault : report.value().faults) texts.push_back(fault.what + ": " + fault.text);
  return texts;
}

class VerdictTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    record_ = SmallRecord("J-1");
    AddJudged(*book_, record_.cycles[0], 1);
  }
  std::string Save(const Record& record, std::int64_t on = 0) {
    auto outcome = book_->Save({record, on, "A. Example", "by hand", {}});
    return outcome.ok() ? "saved" : outcome.error().message;
  }
  /// The record with its verdict entry, or the verdict's file, changed.
  Record With(const std::function<void(VerdictEntry&)>& change) const {
    Record record = record_;
    change(record.cycles[0].verdicts[0]);
    return record;
  }
  Record WithFile(const std::function<void(app::joint::Verdict&)>& change) {
    Record record = record_;
    auto& entry = record.cycles[0].verdicts[0];
    auto verdict = app::joint::VerdictFromJson(book_->evidence().Read(entry.file).value(), "v").value();
    change(verdict);
    const FileRef file = book_->evidence().Keep(app::joint::ToJson(verdict), "verdict.json").value();
    entry.file.sha256 = file.sha256, entry.file.bytes = file.bytes;
    entry.disposition = verdict.disposition, entry.exit_code = verdict.exit_code;
    entry.decided_by = verdict.decided_by;
    return record;
  }
  Record record_;
};
ON_BOTH_ENGINES(VerdictTest);

TEST_P(VerdictTest, AVerdictThatItsFileDoesNotBearOutIsRefused) {
  EXPECT_THAT(Save(With([](VerdictEntry& v) { v.disposition = "proposed: within"; })),
              HasSubstr("its file verdict.json says"));
  EXPECT_THAT(Save(With([](VerdictEntry& v) { v.exit_code = 0; })), HasSubstr("not borne out"));
  EXPECT_THAT(Save(With([](VerdictEntry& v) { v.criterion = "another"; })), HasSubstr("not borne out"));
  EXPECT_THAT(Save(With([](VerdictEntry& v) { v.edition = "1995"; })), HasSubstr("not borne out"));
  EXPECT_THAT(Save(With([](VerdictEntry& v) { v.decided_by = "me"; })), HasSubstr("not borne out"));
  EXPECT_THAT(Save(With([](VerdictEntry& v) { v.reading = std::string(64, 'b'); })),
              HasSubstr("does not hold the reading"));
  EXPECT_THAT(Save(WithFile([](app::joint::Verdict& v) { v.disposition = "proposed: within", v.exit_code = 0; })),
              HasSubstr("does not follow from the findings"));
  EXPECT_THAT(Save(WithFile([](app::joint::Verdict& v) { v.reading_sha256 = std::string(64, 'b'); })),
              HasSubstr("was not worked out from the reading"));
  EXPECT_THAT(Save(WithFile([](app::joint::Verdict& v) { v.reading_sha256.clear(); })),
              HasSubstr("was not worked out from the reading"));
  EXPECT_THAT(Save(With([&](VerdictEntry& v) { v.file = book_->evidence().Keep("{}", "verdict.json").value(); })),
              HasSubstr("is no verdict"));
  EXPECT_TRUE(Find(*book_, {}).value().empty());
  EXPECT_EQ(Save(record_), "saved");
  EXPECT_THAT(FaultsOf(*Connect()), testing::IsEmpty());
}

TEST_P(VerdictTest, AReadingChangedByHandHasNoVerdict) {
  Record record = record_;
  const FileRef edited = book_->evidence().Keep("{\"reading\": \"edited\"}", "reading.json").value();
  auto& reading = record.cycles[0].readings[0].reading;
  reading.sha256 = edited.sha256, reading.bytes = edited.bytes;
  EXPECT_THAT(Save(record), HasSubstr("does not hold the reading it judges"));
  record.cycles[0].verdicts[0].reading = edited.sha256;
  EXPECT_THAT(Save(record), HasSubstr("was not worked out from the reading"));
}

TEST_P(VerdictTest, WhatAnEarlierVersionLetInIsNamed) {
  ASSERT_EQ(Save(record_), "saved");
  Revision forged = book_->Load("J-1").value();
  const std::string old = forged.hash;
  const auto at = forged.body.find("proposed: not accepted");
  forged.body.replace(at, 22, "proposed: within");
  forged.hash = forged.ComputeHash();
  Tamper("UPDATE revision SET body = '" + forged.body + "', hash = '" + forged.hash + "'");
  EXPECT_THAT(FaultsOf(*Connect()),
              testing::Contains(testing::AllOf(testing::StartsWith("verdict:"), HasSubstr("proposed: within"))));
}

class SignTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    Saved(*book_, SmallRecord("J-1"), 0);
    ASSERT_FALSE(RegisterKey(*book_, "C. Examiner", key_.PublicHex(), "owner"));
    ASSERT_FALSE(RegisterKey(*book_, "E. Approver", other_.PublicHex(), "owner"));
  }
  std::string SignIt(const std::function<void(Statement&)>& change = {}, const PrivateKey* key = nullptr) {
    Statement statement = GoodStatement("J-1");
    if (change) change(statement);
    auto signoff = Sign(*book_, statement, key ? *key : key_);
    return signoff.ok() ? "signed" : signoff.error().message;
  }
  PrivateKey key_ = PrivateKey::FromRaw(std::string(64, '3')).value(),
             other_ = PrivateKey::FromRaw(std::string(64, '4')).value();
};
ON_BOTH_ENGINES(SignTest);

TEST_P(SignTest, TheRevisionIsNamed) {
  for (const std::int64_t number :
       {std::int64_t{0}, std::int64_t{-1}, std::int64_t{-7}, std::numeric_limits<std::int64_t>::min()})
    EXPECT_THAT(SignIt([&](Statement& s) { s.revision = number; }), HasSubstr("from 1 on")) << number;
  EXPECT_THAT(SignIt([](Statement& s) { s.revision = 2; }), HasSubstr("revision 2"));
  EXPECT_FALSE(book_->Load("J-1", -1).ok());
  EXPECT_EQ(SignIt(), "signed");
}

TEST_P(SignTest, BlankFieldsAndAnOldVisionTestAreRefused) {
  for (std::string Statement::*field : {&Statement::role, &Statement::qualification, &Statement::procedure,
                                        &Statement::light_level, &Statement::resolution, &Statement::statement})
    for (const std::string blank : {"", " ", "  \t"})
      EXPECT_NE(SignIt([&](Statement& s) { s.*field = blank; }), "signed");
  EXPECT_THAT(SignIt([](Statement& s) { s.vision_test = "1996-02-29"; }), HasSubstr("more than a year before"));
  EXPECT_THAT(SignIt([](Statement& s) { s.vision_test = DayFromNow(-368); }), HasSubstr("more than a year before"));
  EXPECT_THAT(SignIt([](Statement& s) { s.role = "x\x1b[2K"; }), HasSubstr("U+001B"));
  EXPECT_THAT(SignIt([](Statement& s) { s.statement = "\xe2\x80\xae"; }), HasSubstr("U+202E"));
  EXPECT_EQ(SignIt([](Statement& s) { s.vision_test = DayFromNow(-364), s.statement = "Two\nlines."; }), "signed");
  EXPECT_THAT(FaultsOf(*Connect()), testing::IsEmpty());
}

TEST_P(SignTest, NobodyApprovesWhatTheyExamined) {
  ASSERT_EQ(SignIt(), "signed");
  EXPECT_THAT(SignIt([](Statement& s) { s.kind = "approved"; }), HasSubstr("somebody else must approve"));
  Saved(*book_, SmallRecord("J-1"), 1, "report attached");
  EXPECT_THAT(SignIt([](Statement& s) { s.kind = "approved", s.revision = 2; }), HasSubstr("examined revision 1"));
  const auto as_other = [](Statement& s) { s.kind = "approved", s.name = "E. Approver", s.revision = 2; };
  EXPECT_EQ(SignIt(as_other, &other_), "signed");
}

TEST_P(SignTest, TheSameSignOffTwiceInOneSecondIsSaidInWords) {
  bool met = false;
  for (int i = 0; i < 40 && !met; ++i) {
    const std::string said = SignIt();
    if (said == "signed") continue;
    met = true;
    EXPECT_THAT(said, testing::AllOf(HasSubstr("very sign-off"), testing::Not(HasSubstr("UNIQUE")),
                                     testing::Not(HasSubstr("unique"))));
  }
  EXPECT_TRUE(met);
  EXPECT_THAT(FaultsOf(*Connect()), testing::IsEmpty());
}

TEST_P(SignTest, TheKindInTheTableIsTheKindThatWasSigned) {
  ASSERT_EQ(SignIt(), "signed");
  Tamper("UPDATE signoff SET kind = 'approved'");
  EXPECT_THAT(FaultsOf(*Connect()),
              testing::ElementsAre(HasSubstr("the book calls it approved, what was signed is examined")));
}

TEST_P(SignTest, AKeyIsSixtyFourDigitsOfAKeyThatCanBeOnesOwn) {
  for (const std::string& text :
       std::vector<std::string>{std::string(64, 'g'), std::string(64, 'A'), std::string(63, 'a'), std::string(64, ' '),
                                std::string(62, 'a') + "\xc3\xa9", std::string(64, '0'), "01" + std::string(62, '0')})
    EXPECT_THAT(RegisterKey(*book_, "F. Other", text, "owner")->message, HasSubstr("64 small hexadecimal digits"))
        << text;
}

TEST_P(SignTest, ARevokedKeySignsNoLongerAndWhatItSignedBeforeStays) {
  ASSERT_EQ(SignIt(), "signed");
  const std::string fingerprint = Fingerprint(key_.PublicHex());
  const auto refusal = [&](Revocation revocation) {
    auto revoked = Revoke(*book_, revocation);
    return revoked.ok() ? std::string("revoked") : revoked.error().message;
  };
  EXPECT_THAT(refusal({fingerprint, "2999-01-01", "lost", "owner", "", "", ""}), HasSubstr("lies ahead"));
  EXPECT_THAT(refusal({fingerprint, "yesterday", "lost", "owner", "", "", ""}), HasSubstr("a date such as"));
  EXPECT_THAT(refusal({fingerprint, "2026-01-01", " ", "owner", "", "", ""}), HasSubstr("blank"));
  EXPECT_THAT(refusal({std::string(64, 'a'), "2026-01-01", "lost", "owner", "", "", ""}), HasSubstr("does not know"));
  ::sleep(1);  // the sign-off above is of an earlier second
  EXPECT_EQ(refusal({fingerprint, NowUtc(), "card lost", "owner", "", "", ""}), "revoked");
  EXPECT_THAT(refusal({fingerprint, NowUtc(), "once more", "owner", "", "", ""}), HasSubstr("revoked already"));
  EXPECT_THAT(SignIt(), HasSubstr("card lost"));
  EXPECT_THAT(FaultsOf(*Connect()), testing::IsEmpty());
  EXPECT_EQ(refusal({fingerprint, "2026-01-01", "found out: it was copied in January", "owner", "", "", ""}),
            "revoked");
  EXPECT_THAT(FaultsOf(*Connect()), testing::ElementsAre(HasSubstr("the key was revoked from 2026-01-01 on")));
  Tamper("UPDATE key_revocation SET since = '2027' WHERE since = '2026-01-01'");
  EXPECT_THAT(FaultsOf(*Connect()), testing::Contains(HasSubstr("no longer what was written")));
  Tamper("DELETE FROM key_revocation");
  EXPECT_THAT(FaultsOf(*Connect()), testing::Contains(HasSubstr("names a revocation that is not in the book")));
}

TEST(Keys, OfSmallOrderAreNone) {
  // Under such a key a signature that holds can be made up: with S = 0 and R of small order, R = -k A holds for one
  // message in eight or fewer (RFC 8032, 5.1.7). OpenSSL is asked.
  const std::vector<std::string> small{"0000000000000000000000000000000000000000000000000000000000000000",
                                       "0000000000000000000000000000000000000000000000000000000000000080",
                                       "0100000000000000000000000000000000000000000000000000000000000000",
                                       "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
                                       "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
                                       "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc85",
                                       "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
                                       "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa"};
  for (const auto& key : small) {
    bool forged = false;
    for (int message = 0; message < 200 && !forged; ++message)
      for (const auto& r : small)
        forged = forged || SignatureHolds(key, std::to_string(message), r + std::string(64, '0'));
    EXPECT_TRUE(forged) << key << ": OpenSSL lets nothing through under it";
    EXPECT_FALSE(IsPublicKey(key)) << key;
  }
  EXPECT_TRUE(IsPublicKey(PrivateKey::FromRaw(std::string(64, '3')).value().PublicHex()));
}

class LookTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    Record record = SmallRecord("J-1");
    for (const char* id : {"root", "cap"}) {
      RecordingEntry entry{id, "root", book_->evidence().Keep(std::string("{}") + id, "joint.json").value(), {}};
      record.cycles[0].recordings.push_back(entry);
    }
    AddJudged(*book_, record.cycles[0], 0);
    Saved(*book_, record, 0);
    ASSERT_THAT(FaultsOf(*Connect()), testing::IsEmpty());
  }
  std::vector<std::string> After(const std::string& sql) {
    Tamper(sql);
    return FaultsOf(*Connect());
  }
  std::vector<std::string> AfterAlone(const std::string& sql) {
    auto connection = Database::Open(Address::Parse(address_), false, false);  // the rules stay as they are
    EXPECT_FALSE(connection.value()->Do(sql));
    return FaultsOf(*Connect());
  }
};
ON_BOTH_ENGINES(LookTest);

TEST_P(LookTest, TheQueueSaysWhatTheRecordSays) {
  auto rows = book_->database().Run("SELECT state, id FROM recording ORDER BY id");
  EXPECT_EQ(rows.value().at(0).Text(0), "pending");   // cap
  EXPECT_EQ(rows.value().at(1).Text(0), "measured");  // root: the record holds its reading
  using testing::Contains;
  EXPECT_THAT(After("UPDATE recording SET state = 'measured' WHERE id = 'cap'"),
              Contains(HasSubstr("queue: Joint J-1, R0, recording cap")));
  EXPECT_THAT(After("UPDATE recording SET state = 'pending'"), Contains(HasSubstr("recording root")));
  EXPECT_THAT(After("UPDATE recording SET state = 'measured', reading = 'x' WHERE id = 'root'"),
              Contains(HasSubstr("recording root")));
  EXPECT_THAT(After("UPDATE recording SET id = 'rool' WHERE id = 'root'"), Contains(HasSubstr("no revision names it")));
  EXPECT_THAT(After("DELETE FROM recording"), Contains(HasSubstr("is not in the queue")));
}

TEST_P(LookTest, TheTableOfFilesSaysWhatTheRevisionsSay) {
  const auto named = testing::Contains(HasSubstr("the table of its files"));
  EXPECT_THAT(After("UPDATE evidence SET name = 'verdict.jsom' WHERE name = 'verdict.json'"), named);
  EXPECT_THAT(After("DELETE FROM evidence WHERE name = 'verdict.jsom'"), named);
  EXPECT_THAT(After("INSERT INTO evidence VALUES ('" + std::string(64, 'a') + "', 'J-1', 'a.png')"), named);
}

TEST_P(LookTest, TheGuardsAreThere) {
  using testing::Contains;
  const std::string on = postgres() ? " ON revision" : "";
  EXPECT_THAT(AfterAlone("DROP TRIGGER revision_kept" + on), Contains(HasSubstr("guard: The trigger revision_kept")));
  EXPECT_THAT(AfterAlone("UPDATE migration SET name = 'other' WHERE version = 2"),
              Contains(HasSubstr("guard: The steps")));
  EXPECT_THAT(AfterAlone("UPDATE migration SET taken_at = '2020-01-01T00:00:00Z' WHERE version = 1"),
              Contains(HasSubstr("no longer what was noted")));
  EXPECT_THAT(AfterAlone("INSERT INTO book_info VALUES ('evidence_folder_', '/elsewhere')"),
              Contains(HasSubstr("no longer what was noted")));
  if (!postgres()) {
    EXPECT_THAT(AfterAlone("CREATE TRIGGER lies AFTER INSERT ON revision BEGIN DELETE FROM finding; END"),
                Contains(HasSubstr("The trigger lies is no part of a joint book")));
    EXPECT_THAT(AfterAlone("CREATE VIEW more AS SELECT 1"), Contains(HasSubstr("The view more is no part")));
  } else {
    EXPECT_THAT(AfterAlone("CREATE RULE lies AS ON INSERT TO finding DO INSTEAD NOTHING"),
                Contains(HasSubstr("rule lies")));
    EXPECT_THAT(AfterAlone("CREATE OR REPLACE FUNCTION refuse_change() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
                           "RETURN NEW; END $$"),
                Contains(HasSubstr("function refuse_change")));
  }
}

TEST_P(LookTest, ADroppedPolicyIsNamed) {
  if (!postgres()) GTEST_SKIP() << "row policies are the server's";
  ASSERT_FALSE(GrantRoles(*book_));
  EXPECT_THAT(FaultsOf(*Connect()), testing::IsEmpty());
  EXPECT_THAT(AfterAlone("DROP POLICY own_examined ON signoff"), testing::Contains(HasSubstr("policy own_examined")));
  EXPECT_THAT(AfterAlone("ALTER TABLE revision DISABLE ROW LEVEL SECURITY"),
              testing::Contains(HasSubstr("Row security")));
}

TEST_P(LookTest, AnInspectorsRowCannotCarryASignedApproval) {
  if (!postgres()) GTEST_SKIP() << "row policies are the server's";
  ASSERT_FALSE(GrantRoles(*book_));
  (void)book_->database().Do("CREATE ROLE test_inspector LOGIN");
  ASSERT_FALSE(book_->database().Do("GRANT rootscroll_inspector TO test_inspector"));
  const auto key = PrivateKey::FromRaw(std::string(64, '3')).value();
  ASSERT_FALSE(RegisterKey(*book_, "C. Examiner", key.PublicHex(), "owner"));
  Statement statement = GoodStatement("J-1");
  statement.kind = "approved";
  statement.fingerprint = Fingerprint(key.PublicHex());
  const std::string text = ToJson(statement);
  const std::string sql = "INSERT INTO signoff VALUES ('h', 'J-1', 1, 'examined', '" + text + "', 's', '" +
                          statement.fingerprint + "', session_user)";
  const auto failed = Connect("test_inspector")->database().Do(sql);
  ASSERT_TRUE(failed);
  EXPECT_THAT(failed->message, HasSubstr("Refused"));
}

TEST_P(LookTest, ARealNumberIsComparedToItsLastBit) {
  EXPECT_THAT(After("UPDATE finding SET end_deg = 56.000000000000007"), testing::Contains(HasSubstr("search tables")));
}

TEST_P(LookTest, ASealNotedEarlierShowsAHistoryWorkedOutAnew) {
  const auto witness = folder_ / "witness.txt";
  ASSERT_FALSE(AddWitness(witness, book_->Seal().value()));
  Record record = book_->LoadRecord("J-1").value();
  Saved(*book_, record, 1, "looked again");
  ASSERT_FALSE(AddWitness(witness, book_->Seal().value()));
  ASSERT_FALSE(AddWitness(witness, book_->Seal().value()));  // says the same: no line more
  VerifyOptions sealed;
  sealed.witness = ReadWitness(witness).value();
  ASSERT_EQ(sealed.witness.size(), 2u);
  EXPECT_THAT(FaultsOf(*Connect(), sealed), testing::IsEmpty());
  // Somebody with the file makes both revisions again, by another author, with every hash.
  std::string parent, seal;
  for (const std::int64_t number : {1, 2}) {
    Revision forged = book_->Load("J-1", number).value();
    const std::string old = forged.hash;
    forged.author = "Z. Forger", forged.parent = parent;
    parent = forged.hash = forged.ComputeHash();
    seal = ComputeSeal(seal, number, "revision", parent);
    const std::string n = std::to_string(number);
    Tamper("UPDATE revision SET author = 'Z. Forger', parent = '" + forged.parent + "', hash = '" + forged.hash +
           "' WHERE number = " + n);
    Tamper("UPDATE journal SET item = '" + forged.hash + "', seal = '" + seal + "' WHERE seq = " + n);
    Tamper("UPDATE joint SET head_hash = '" + forged.hash + "'");
    Tamper("UPDATE book_head SET seal = '" + seal + "'");
  }
  EXPECT_THAT(FaultsOf(*Connect()), testing::IsEmpty());  // nothing inside the book can tell
  EXPECT_THAT(FaultsOf(*Connect(), sealed),
              testing::Contains(HasSubstr("line 1 has not the seal that was noted of it")));
  Write(witness, "1 abc 2026\n");
  EXPECT_THAT(ReadWitness(witness).error().message, HasSubstr("line 1 is no noted seal"));
}

}  // namespace
}  // namespace book_test
