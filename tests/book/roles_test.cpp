#include "app/book/roles.h"

#include "app/book/signoff.h"
#include "app/book/verify.h"
#include "tests/book/support.h"

namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

TEST_P(OnBoth, RolesAreTheServersAndAFileHasNone) {
  const auto failed = GrantRoles(*book_);
  if (postgres())
    EXPECT_FALSE(failed) << failed->message;
  else
    EXPECT_THAT(failed->message, HasSubstr("PostgreSQL"));
}
ON_BOTH_ENGINES(OnBoth);

TEST(SqliteReader, IsRefusedEveryChange) {
  const fs::path folder = fs::temp_directory_path() / ("rootscroll_reader_" + std::to_string(::getpid()));
  fs::create_directories(folder);
  const std::string file = (folder / "a.book").string();
  auto writer = Book::Create(file);
  ASSERT_TRUE(writer.ok());
  Saved(*writer.value(), SmallRecord("J-1"), 0);
  auto reader = Book::Open(file, {true, ""});
  ASSERT_TRUE(reader.ok()) << reader.error().message;
  EXPECT_TRUE(reader.value()->Load("J-1").ok());
  auto saved = reader.value()->Save({SmallRecord("J-2"), 0, "A", "r", {}});
  ASSERT_FALSE(saved.ok());
  EXPECT_THAT(saved.error().message, HasSubstr("read-only"));
  fs::remove_all(folder);
}

/// Three logins on one PostgreSQL book.
class RolesTest : public OnBoth {
 protected:
  void SetUp() override {
    OnBoth::SetUp();
    if (IsSkipped() || HasFatalFailure()) return;
    ASSERT_FALSE(GrantRoles(*book_));
    for (const std::string role : {"reader", "inspector", "approver"}) {
      (void)book_->database().Do("CREATE ROLE test_" + role + " LOGIN");  // may be there from another test
      ASSERT_FALSE(book_->database().Do("GRANT rootscroll_" + role + " TO test_" + role));
    }
    Saved(*book_, SmallRecord("J-1"), 0);
  }

  /// What the server says to `sql` from this login.
  std::string Try(const std::string& login, const std::string& sql) {
    const auto failed = Connect(login)->database().Do(sql);
    const std::string said = failed ? failed->message : "done";
    std::printf("  %s tried: %s\n    %s\n", login.c_str(), sql.c_str(), said.c_str());
    return said;
  }
  std::string TrySave(const std::string& login, const std::string& joint) {
    auto outcome = Connect(login)->Save({SmallRecord(joint), 0, login, "try", {}});
    return outcome.ok() ? "done" : outcome.error().message;
  }
};
INSTANTIATE_TEST_SUITE_P(On, RolesTest, testing::Values(Engine::kPostgres),
                         [](const auto&) { return std::string("Postgres"); });

TEST_P(RolesTest, AReaderReadsAndIsRefusedEverythingElse) {
  auto reader = Connect("test_reader");
  EXPECT_TRUE(reader->LoadRecord("J-1").ok());
  EXPECT_TRUE(Verify(*reader).value().clean());
  for (const char* sql :
       {"INSERT INTO joint VALUES ('J-9', 0, '', '', '', '', '', '', '', '', 0, '')",
        "INSERT INTO revision VALUES ('J-1', 2, 'a', session_user, 'now', 'r', '', 'h', '{}')",
        "UPDATE joint SET disposition = 'proposed: within'", "UPDATE revision SET author = 'x'", "DELETE FROM revision",
        "DELETE FROM finding", "INSERT INTO signoff VALUES ('h', 'J-1', 1, 'examined', '', '', 'f', session_user)",
        "INSERT INTO inspector_key VALUES ('f', 'n', 'k', 'a', 't')", "UPDATE book_head SET seq = 0",
        "UPDATE recording SET state = 'measured'", "TRUNCATE journal", "DROP TABLE signoff",
        "ALTER TABLE revision DISABLE TRIGGER ALL", "ALTER TABLE revision DISABLE ROW LEVEL SECURITY"})
    EXPECT_THAT(Try("test_reader", sql), HasSubstr("Refused: the login test_reader has no right")) << sql;
  EXPECT_THAT(TrySave("test_reader", "J-9"), HasSubstr("Refused"));
}

TEST_P(RolesTest, AnInspectorAddsUnderTheOwnNameAndChangesNothing) {
  EXPECT_EQ(TrySave("test_inspector", "J-2"), "done");
  EXPECT_EQ(book_->Load("J-2").value().login, "test_inspector");
  for (const char* sql :
       {"UPDATE revision SET author = 'x'", "DELETE FROM revision", "UPDATE signoff SET kind = 'approved'",
        "DELETE FROM journal", "INSERT INTO inspector_key VALUES ('f', 'n', 'k', 'a', 't')",
        "INSERT INTO revision VALUES ('J-1', 2, 'a', 'test_approver', 'now', 'r', '', 'h', '{}')",
        "INSERT INTO signoff VALUES ('h', 'J-1', 1, 'approved', '', '', 'f', session_user)",
        "INSERT INTO signoff VALUES ('h', 'J-1', 1, 'examined', '', '', 'f', 'test_approver')",
        "SET ROLE rootscroll_approver", "ALTER TABLE revision DISABLE TRIGGER ALL"})
    EXPECT_THAT(Try("test_inspector", sql), HasSubstr("Refused: the login test_inspector has no right")) << sql;
}

TEST_P(RolesTest, OnlyAnApproverRegistersKeysAndApproves) {
  const auto key = PrivateKey::Make(folder_ / "key.pem", "").value();
  Statement statement = GoodStatement("J-1");
  auto inspector = Connect("test_inspector"), approver = Connect("test_approver");
  EXPECT_THAT(RegisterKey(*inspector, "C. Examiner", key.PublicHex(), "me")->message, HasSubstr("Refused"));
  EXPECT_FALSE(RegisterKey(*approver, "C. Examiner", key.PublicHex(), "the approver"));
  EXPECT_TRUE(Sign(*inspector, statement, key).ok());
  const auto other = PrivateKey::Make(folder_ / "other.pem", "").value();
  EXPECT_FALSE(RegisterKey(*approver, "E. Approver", other.PublicHex(), "the approver"));
  statement.kind = "approved";
  statement.name = "E. Approver";
  auto refused = Sign(*inspector, statement, other);
  ASSERT_FALSE(refused.ok());
  EXPECT_THAT(refused.error().message, HasSubstr("Refused"));
  auto approved = Sign(*approver, statement, other);
  EXPECT_TRUE(approved.ok()) << approved.error().message;
  EXPECT_TRUE(Verify(*book_).value().clean());
}

}  // namespace
}  // namespace book_test
