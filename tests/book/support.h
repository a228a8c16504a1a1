#pragma once

#include <gmock/gmock.h>

#include <filesystem>
#include <memory>
#include <optional>
#include <string>

#include "app/book/book.h"
#include "app/book/signoff.h"

/// Books for tests: the same suite runs on a SQLite file and on a private PostgreSQL server. Everything invented.
namespace book_test {

namespace fs = std::filesystem;
using app::book::Book;
using app::book::Engine;

/// The private server's address; nullopt where PostgreSQL is not installed. Started by the test fixture of CTest
/// (tests/book/server), or here when the program runs by itself.
std::optional<std::string> ServerAddress();

/// `address` with another database or another login.
std::string WithDatabase(const std::string& address, const std::string& database);
std::string WithLogin(const std::string& address, const std::string& login);

/// A new folder, removed at the end, and an empty book of the engine asked for.
class OnBoth : public testing::TestWithParam<Engine> {
 protected:
  void SetUp() override;
  void TearDown() override;

  bool postgres() const { return GetParam() == Engine::kPostgres; }
  /// A second, third … connection to the same book.
  std::unique_ptr<Book> Connect(const std::string& login = "");
  /// Runs SQL past all rules, as somebody with full power over the database would.
  void Tamper(const std::string& sql);

  fs::path folder_;
  std::string address_;
  std::unique_ptr<Book> book_;
};

#define ON_BOTH_ENGINES(suite)                                                                                   \
  INSTANTIATE_TEST_SUITE_P(On, suite, testing::Values(app::book::Engine::kSqlite, app::book::Engine::kPostgres), \
                           [](const testing::TestParamInfo<app::book::Engine>& engine) {                         \
                             return engine.param == app::book::Engine::kSqlite ? "Sqlite" : "Postgres";          \
                           })

/// A record with one cycle, a welder and an open finding.
app::book::Record SmallRecord(const std::string& joint);

/// Puts a reading and a verdict on it into the cycle, both with their files: `exit_code` 0 within, 1 beyond.
void AddJudged(Book& book, app::book::Cycle& cycle, int exit_code, const std::string& recording = "root");

/// A statement that lacks nothing, of the joint's revision, by C. Examiner, the vision test of half a year ago.
app::book::Statement GoodStatement(const std::string& joint, std::int64_t revision = 1);

/// YYYY-MM-DD, so many days from today.
std::string DayFromNow(int days);

/// Saves and expects it to be saved.
app::book::Revision Saved(Book& book, const app::book::Record& record, std::int64_t based_on,
                          const std::string& reason = "first entry");

std::string Bytes(const fs::path& file);
void Write(const fs::path& file, const std::string& bytes);
/// Turns one bit of the byte at `at`, whatever the file's permissions.
void FlipByte(const fs::path& file, std::size_t at);

}  // namespace book_test
