#include <cstdlib>

#include "app/book/queue.h"
#include "app/book/roles.h"
#include "app/book/signoff.h"
#include "app/book/verify.h"
#include "tests/book/support.h"

/// What somebody tries who knows how the book is made: every hash worked out again, so that only the signature, the
/// lock or the right itself stands in the way.
namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

class ForgeTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    Saved(*book_, SmallRecord("J-1"), 0);
    key_ = std::make_unique<PrivateKey>(PrivateKey::Make(folder_ / "key.pem", "").value());
    ASSERT_FALSE(RegisterKey(*book_, "C. Examiner", key_->PublicHex(), "owner"));
    auto signoff = Sign(*book_,
                        {"J-1", 1, "", "examined", "C. Examiner", "examiner", "VT 2", "2999-01-01", DayFromNow(-180),
                         "VT-PR-3", "1100 lx", "0.8 mm line", "As found.", "", ""},
                        *key_);
    ASSERT_TRUE(signoff.ok()) << signoff.error().message;
    good_ = signoff.value();
  }

  /// What the book finds wrong with `forged` once its hash is worked out again.
  std::string Fault(SignOff forged) {
    if (auto statement = StatementFromJson(forged.text); statement.ok()) forged.statement = statement.value();
    forged.hash = forged.ComputeHash();
    return SignOffFault(forged, book_->Load("J-1").value().hash, FindKey(*book_, forged.fingerprint).value());
  }

  SignOff Reworded(const std::string& from, const std::string& to) const {
    SignOff forged = good_;
    forged.text.replace(forged.text.find(from), from.size(), to);
    return forged;
  }

  /// Works out the journal again, from its lines as they stand.
  void SealAgain() {
    auto rows = book_->database().Run("SELECT seq, kind, item FROM journal ORDER BY seq");
    ASSERT_TRUE(rows.ok());
    std::string seal;
    for (const auto& row : rows.value()) {
      seal = ComputeSeal(seal, row.Int(0), row.Text(1), row.Text(2));
      Tamper("UPDATE journal SET seal = '" + seal + "' WHERE seq = " + std::to_string(row.Int(0)));
    }
    Tamper("UPDATE book_head SET seal = '" + seal + "'");
  }

  std::vector<std::string> Faults() {
    auto report = Verify(*Connect());
    EXPECT_TRUE(report.ok());
    std::vector<std::string> texts;
    for (const auto& fault : report.value().faults) texts.push_back(fault.text);
    return texts;
  }

  std::unique_ptr<PrivateKey> key_;
  SignOff good_;
};
ON_BOTH_ENGINES(ForgeTest);

TEST_P(ForgeTest, AStatementChangedAndHashedAgainIsNotWhatWasSigned) {
  ASSERT_EQ(Fault(good_), "");
  for (const auto& [from, to] : {std::pair{"1100 lx", "1900 lx"},
                                 {"As found.", "All good."},
                                 {"VT 2", "VT 3"},
                                 {"2999-01-01", "2999-12-01"},
                                 {good_.statement.vision_test.c_str(), "2026-01-16"},
                                 {"VT-PR-3", "VT-PR-4"},
                                 {"0.8 mm", "0.4 mm"},
                                 {"\"examiner\"", "\"engineer\""},
                                 {"examined", "approved"},
                                 {good_.statement.signed_at.c_str(), "2026-01-20T08:00:00Z"}})
    EXPECT_THAT(Fault(Reworded(from, to)), HasSubstr("the signature is not of this statement")) << from;
}

TEST_P(ForgeTest, AnotherPersonsKeyDoesNotSignForThisOne) {
  const auto other = PrivateKey::Make(folder_ / "other.pem", "").value();
  SignOff forged = good_;
  forged.signature = other.Sign(forged.text).value();
  EXPECT_THAT(Fault(forged), HasSubstr("the signature is not of this statement"));
  forged.fingerprint = Fingerprint(other.PublicHex());
  EXPECT_THAT(Fault(forged), HasSubstr("a key the book does not know"));
  ASSERT_FALSE(RegisterKey(*book_, "D. Other", other.PublicHex(), "owner"));
  EXPECT_THAT(Fault(forged), HasSubstr("belongs to D. Other"));
}

TEST_P(ForgeTest, AQualificationThatHadRunOutOnTheDayIsShownWhoeverSignedIt) {
  // Past Sign, which refuses it: the examiner's own key over a statement whose qualification had run out that day.
  SignOff late = Reworded("2999-01-01", "2026-01-31");
  late.signature = key_->Sign(late.text).value();
  EXPECT_THAT(Fault(late), HasSubstr("expired on 2026-01-31"));
}

TEST_P(ForgeTest, TheSignatureIsOfTheStoredTextAsAnotherProgramChecksIt) {
  if (std::system("command -v openssl >/dev/null 2>&1") != 0) GTEST_SKIP() << "openssl is not installed";
  const auto bytes = [](const std::string& hex) {
    std::string raw;
    for (std::size_t i = 0; i < hex.size(); i += 2) raw += static_cast<char>(std::stoi(hex.substr(i, 2), nullptr, 16));
    return raw;
  };
  // RFC 8410, section 4: the SubjectPublicKeyInfo of an Ed25519 key is these twelve bytes and the key.
  Write(folder_ / "public.der", bytes("302a300506032b6570032100" + key_->PublicHex()));
  Write(folder_ / "signature", bytes(good_.signature));
  const auto openssl = [&](const std::string& text) {
    Write(folder_ / "text", text);
    return std::system(("cd '" + folder_.string() +
                        "' && openssl pkeyutl -verify -pubin -keyform DER -inkey public.der -rawin -in text -sigfile "
                        "signature >/dev/null 2>&1")
                           .c_str());
  };
  EXPECT_EQ(openssl(good_.text), 0);
  EXPECT_NE(openssl(good_.text + " "), 0);
  EXPECT_THAT(good_.text, HasSubstr(book_->Load("J-1").value().hash));
}

TEST_P(ForgeTest, ARevisionThatFollowsFromNothingIsNamedThoughEveryHashIsWorkedOutAgain) {
  Saved(*book_, SmallRecord("J-1"), 1, "looked again");
  Revision forged = book_->Load("J-1", 2).value();
  const std::string old_hash = forged.hash;
  forged.parent.clear();
  forged.hash = forged.ComputeHash();
  Tamper("UPDATE revision SET parent = '', hash = '" + forged.hash + "' WHERE hash = '" + old_hash + "'");
  Tamper("UPDATE joint SET head_hash = '" + forged.hash + "' WHERE id = 'J-1'");
  Tamper("UPDATE journal SET item = '" + forged.hash + "' WHERE item = '" + old_hash + "'");
  SealAgain();
  EXPECT_THAT(Faults(), testing::ElementsAre(HasSubstr("revision 2 does not follow from the revision before it")));
}

TEST_P(ForgeTest, ALineOfTheJournalWithAnotherSealIsNamed) {
  SealAgain();
  ASSERT_THAT(Faults(), testing::IsEmpty());
  Tamper("UPDATE journal SET seal = item WHERE seq = 2");
  EXPECT_THAT(Faults(), testing::Contains(HasSubstr("The journal, line 2 is no longer what was written")));
}

/// What only a server has: rows locked by another machine, and logins.
class ServerTest : public OnBoth {};
INSTANTIATE_TEST_SUITE_P(On, ServerTest, testing::Values(Engine::kPostgres),
                         [](const auto&) { return std::string("Postgres"); });

TEST_P(ServerTest, AWorkerPassesByWhatAnotherIsJustClaiming) {
  Record record = SmallRecord("J-1");
  for (const char* id : {"a", "b"}) {
    RecordingEntry entry;
    entry.id = id;
    entry.joint_file = book_->evidence().Keep(std::string("{}") + id, "joint.json").value();
    record.cycles[0].recordings.push_back(entry);
  }
  Saved(*book_, record, 0);
  auto other = Connect(), worker = Connect();
  {
    auto claiming = Transaction::Begin(other->database(), TransactionKind::kWrite);
    ASSERT_TRUE(claiming.ok());
    ASSERT_TRUE(other->database().Run("SELECT id FROM recording WHERE id = 'a' FOR UPDATE").ok());
    ASSERT_FALSE(worker->database().Do("SET lock_timeout = '1s'"));  // one that waits would wait for ever here
    auto claim = ClaimNext(*worker, "second", {});
    ASSERT_TRUE(claim.ok()) << claim.error().message;
    ASSERT_TRUE(claim.value());
    EXPECT_EQ(claim.value()->recording, "b");
    auto none = ClaimNext(*worker, "third", {});
    ASSERT_TRUE(none.ok()) << none.error().message;
    EXPECT_FALSE(none.value());
  }
  EXPECT_EQ(ClaimNext(*worker, "third", {}).value()->recording, "a");
}

/// Every right a login of this role has beyond reading, as the server itself lists them.
std::vector<std::string> RightsToChange(Book& book, const std::string& role) {
  std::vector<std::string> rights;
  auto rows = book.database().Run(
      "SELECT right_.name || ' ' || c.relname FROM pg_class c CROSS JOIN (VALUES ('INSERT'), ('UPDATE'), ('DELETE'), "
      "('TRUNCATE'), ('REFERENCES'), ('TRIGGER')) right_ (name) WHERE c.relnamespace = 'rootscroll'::regnamespace AND "
      "c.relkind IN ('r', 'p', 'v', 'm') AND (has_table_privilege(?, c.oid, right_.name) OR (right_.name IN ('INSERT', "
      "'UPDATE', 'REFERENCES') AND has_any_column_privilege(?, c.oid, right_.name))) ORDER BY 1",
      {role, role});
  EXPECT_TRUE(rows.ok()) << rows.error().message;
  if (rows.ok())
    for (const auto& row : rows.value()) rights.push_back(row.Text(0));
  return rights;
}

TEST_P(ServerTest, TheServerListsNoRightBeyondTheRoles) {
  ASSERT_FALSE(GrantRoles(*book_));
  EXPECT_THAT(RightsToChange(*book_, "rootscroll_reader"), testing::IsEmpty());
  EXPECT_THAT(RightsToChange(*book_, "rootscroll_inspector"),
              testing::UnorderedElementsAre("DELETE cycle", "DELETE finding", "INSERT cycle", "INSERT evidence",
                                            "INSERT finding", "INSERT joint", "INSERT journal", "INSERT recording",
                                            "INSERT revision", "INSERT signoff", "INSERT time_stamp",
                                            "UPDATE book_head", "UPDATE joint", "UPDATE recording"));
  EXPECT_THAT(RightsToChange(*book_, "rootscroll_approver"), testing::Contains("INSERT inspector_key"));
  EXPECT_EQ(RightsToChange(*book_, "rootscroll_approver").size(), 16u);
  auto more = book_->database().Run(
      "SELECT rolname FROM pg_roles WHERE rolname LIKE 'rootscroll%' AND (rolsuper OR rolcreatedb OR rolcreaterole OR "
      "rolbypassrls OR rolreplication OR has_schema_privilege(rolname, 'rootscroll', 'CREATE'))");
  ASSERT_TRUE(more.ok());
  EXPECT_TRUE(more.value().empty());
}

}  // namespace
}  // namespace book_test
