#include "tests/book/support.h"

#include <unistd.h>

#include <QDate>
#include <QUrl>
#include <atomic>
#include <cstdlib>
#include <fstream>

#include "app/joint/verdict.h"

namespace book_test {

using namespace app::book;

namespace {
std::optional<std::string> AddressIn(const fs::path& note) {
  std::ifstream in(note);
  std::string folder, address;
  if (std::getline(in, folder) && std::getline(in, address)) return address;
  return std::nullopt;
}

/// A server of this program's own, for when CTest did not start one.
struct OwnServer {
  fs::path note = fs::temp_directory_path() / ("rootscroll_server_" + std::to_string(::getpid()));
  const std::string script = ROOTSCROLL_SOURCE_DIR "/tests/book/server";
  OwnServer() { (void)std::system(("'" + script + "' start '" + note.string() + "'").c_str()); }
  ~OwnServer() { (void)std::system(("'" + script + "' stop '" + note.string() + "'").c_str()); }
};

std::string FreshName(const std::string& stem) {
  static std::atomic<int> counter{0};
  return stem + "_" + std::to_string(::getpid()) + "_" + std::to_string(counter.fetch_add(1));
}

void AsOwner(const std::string& database, const std::vector<std::string>& statements) {
  auto connection = Database::Open(Address::Parse(database), true, false);
  ASSERT_TRUE(connection.ok()) << connection.error().message;
  for (const auto& sql : statements) {
    const auto failed = connection.value()->Do(sql);
    EXPECT_FALSE(failed) << failed->message;
  }
}
}  // namespace

std::optional<std::string> ServerAddress() {
  const fs::path note = ROOTSCROLL_BINARY_DIR "/tests/book/server.note";
  if (fs::exists(note)) return AddressIn(note);
  static const OwnServer own;
  return AddressIn(own.note);
}

std::string WithDatabase(const std::string& address, const std::string& database) {
  QUrl url(QString::fromStdString(address));
  url.setPath("/" + QString::fromStdString(database));
  return url.toString().toStdString();
}

std::string WithLogin(const std::string& address, const std::string& login) {
  QUrl url(QString::fromStdString(address));
  url.setUserName(QString::fromStdString(login));
  return url.toString().toStdString();
}

void OnBoth::SetUp() {
  folder_ = fs::temp_directory_path() / FreshName("rootscroll_book");
  fs::remove_all(folder_);
  fs::create_directories(folder_);
  address_ = (folder_ / "joints.book").string();
  if (postgres()) {
    const auto server = ServerAddress();
    if (!server) GTEST_SKIP() << "PostgreSQL (Debian package postgresql) is not installed";
    const std::string name = FreshName("book");
    AsOwner(*server, {"CREATE DATABASE " + name});
    address_ = WithDatabase(*server, name);
  }
  NewBookOptions options;
  if (postgres()) options.evidence_folder = (folder_ / "evidence").string();
  auto book = Book::Create(address_, options);
  ASSERT_TRUE(book.ok()) << book.error().message;
  book_ = std::move(book).value();
}

void OnBoth::TearDown() {
  book_.reset();
  const auto server = postgres() ? ServerAddress() : std::nullopt;
  if (server)
    AsOwner(*server, {"DROP DATABASE IF EXISTS " + QUrl(QString::fromStdString(address_)).path().mid(1).toStdString() +
                      " WITH (FORCE)"});
  fs::remove_all(folder_);
}

std::unique_ptr<Book> OnBoth::Connect(const std::string& login) {
  auto book = Book::Open(login.empty() ? address_ : WithLogin(address_, login));
  EXPECT_TRUE(book.ok()) << book.error().message;
  return book.ok() ? std::move(book).value() : nullptr;
}

void OnBoth::Tamper(const std::string& sql) {
  const std::vector<std::string> tables{"revision", "signoff", "journal", "key_revocation", "time_stamp"};
  if (postgres()) {
    std::vector<std::string> statements;
    for (const auto& table : tables) statements.push_back("ALTER TABLE IF EXISTS " + table + " DISABLE TRIGGER USER");
    statements.push_back(sql);
    for (const auto& table : tables) statements.push_back("ALTER TABLE IF EXISTS " + table + " ENABLE TRIGGER USER");
    return AsOwner(address_, statements);
  }
  std::vector<std::string> statements{"PRAGMA foreign_keys = OFF"}, again;
  auto triggers = book_->database().Run("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'");
  ASSERT_TRUE(triggers.ok());
  for (const auto& row : triggers.value()) {
    statements.push_back("DROP TRIGGER " + row.Text(0));
    again.push_back(row.Text(1));
  }
  statements.push_back(sql);
  statements.insert(statements.end(), again.begin(), again.end());
  AsOwner(address_, statements);
}

Record SmallRecord(const std::string& joint) {
  Record record;
  record.joint = joint;
  record.line = "Auxiliary cooling 7 (invented)";
  record.material = "316L";
  record.insert_class = "3";
  Cycle first;
  first.welder = "W-12";
  first.welded_on = "2026-03-01";
  first.findings.push_back({"unfused", "4021", "left", 48, 56, "open", ""});
  record.cycles.push_back(first);
  return record;
}

void AddJudged(Book& book, Cycle& cycle, int exit_code, const std::string& recording) {
  const auto derived = [&](const std::string& bytes, const std::string& name, const std::string& from) {
    FileRef ref = book.evidence().Keep(bytes, name).value();
    ref.kind = "derived", ref.from = {from}, ref.settings = "made for a test";
    return ref;
  };
  ReadingEntry reading{{recording}, "0.1.0", "2026-03-01T08:00:00Z", true, {}, {}};
  reading.reading = derived("{\"reading\": " + std::to_string(exit_code) + "}", "reading.json", std::string(64, 'a'));
  app::joint::Verdict verdict;
  verdict.criterion = "some";
  verdict.findings.resize(1);
  verdict.findings[0].rule_id = verdict.findings[0].title = "width";
  verdict.findings[0].outcome = exit_code == 0 ? app::joint::Outcome::kWithin : app::joint::Outcome::kBeyond;
  app::joint::Dispose(&verdict);
  verdict.reading_sha256 = reading.reading.sha256;
  const FileRef file = derived(app::joint::ToJson(verdict), "verdict.json", reading.reading.sha256);
  cycle.readings.push_back(reading);
  cycle.verdicts.push_back({verdict.criterion, verdict.standard, verdict.edition, verdict.disposition,
                            verdict.decided_by, verdict.exit_code, reading.reading.sha256, file});
}

std::string DayFromNow(int days) { return QDate::currentDate().addDays(days).toString(Qt::ISODate).toStdString(); }

Statement GoodStatement(const std::string& joint, std::int64_t revision) {
  Statement statement;
  statement.joint = joint;
  statement.revision = revision;
  statement.name = "C. Examiner";
  statement.role = "examiner";
  statement.qualification = "VT level 2, certificate 77 (invented)";
  statement.qualification_expires = "2999-12-31";
  statement.vision_test = DayFromNow(-180);
  statement.procedure = "VT-PR-3 rev 2 (invented)";
  statement.light_level = "1100 lx at the root";
  statement.resolution = "0.8 mm line resolved at the root";
  statement.statement = "I examined this root and found what the record says.";
  return statement;
}

Revision Saved(Book& book, const Record& record, std::int64_t based_on, const std::string& reason) {
  auto outcome = book.Save({record, based_on, "A. Example", reason, {}});
  if (!outcome.ok()) {
    ADD_FAILURE() << outcome.error().message;
    return {};
  }
  if (!outcome.value().saved) {
    ADD_FAILURE() << (outcome.value().conflict ? outcome.value().conflict->Text() : "not saved");
    return {};
  }
  return *outcome.value().saved;
}

std::string Bytes(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

void Write(const fs::path& file, const std::string& bytes) { std::ofstream(file, std::ios::binary) << bytes; }

void FlipByte(const fs::path& file, std::size_t at) {
  std::string bytes = Bytes(file);
  ASSERT_LT(at, bytes.size());
  bytes[at] = static_cast<char>(bytes[at] ^ 1);
  fs::permissions(file, fs::perms::owner_write, fs::perm_options::add);
  Write(file, bytes);
}

}  // namespace book_test
