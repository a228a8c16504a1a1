#include <sys/wait.h>
#include <unistd.h>

#include "app/book/bundle.h"
#include "app/book/find.h"
#include "app/book/verify.h"
#include "tests/book/support.h"

/// A book where nobody may write: an archive's medium, an auditor's copy.
namespace book_test {
namespace {

using namespace app::book;
using testing::HasSubstr;

class ReadOnlyBook : public testing::Test {
 protected:
  void SetUp() override {
    fs::create_directories(folder_);
    auto book = Book::Create(file_);
    ASSERT_TRUE(book.ok());
    Record record = SmallRecord("J-1");
    record.cycles[0].film = {book.value()->evidence().Keep("film", "film.png").value()};
    Saved(*book.value(), record, 0);
    seal_ = book.value()->Seal().value().seal;
  }
  void TearDown() override {
    Allow(true);
    fs::remove_all(folder_);
  }
  void Allow(bool write) const {
    std::error_code ignored;
    const auto way = write ? fs::perm_options::add : fs::perm_options::remove;
    const auto all = fs::perms::owner_write | fs::perms::group_write | fs::perms::others_write;
    for (const auto& path : {folder_, fs::path(file_), fs::path(file_ + "-wal")})
      fs::permissions(path, all, way, ignored);
    fs::permissions(folder_, fs::perms::others_read | fs::perms::others_exec, fs::perm_options::add, ignored);
    fs::permissions(file_, fs::perms::others_read, fs::perm_options::add, ignored);
    fs::permissions(file_ + "-wal", fs::perms::others_read, fs::perm_options::add, ignored);
  }

  /// What `work` says in a process that no permission is waived for: root reads and writes everything.
  std::string AsNobody(const std::function<std::string()>& work) const {
    int ends[2];
    if (::pipe(ends) != 0) return "no pipe";
    const pid_t child = ::fork();
    if (child == 0) {
      if (::geteuid() == 0 && (::setgid(65534) != 0 || ::setuid(65534) != 0)) ::_exit(3);
      const std::string said = work();
      (void)!::write(ends[1], said.data(), said.size());
      ::_exit(0);
    }
    ::close(ends[1]);
    std::string said;
    char piece[1024];
    for (ssize_t count = 0; (count = ::read(ends[0], piece, sizeof piece)) > 0;)
      said.append(piece, static_cast<std::size_t>(count));
    ::close(ends[0]);
    ::waitpid(child, nullptr, 0);
    return said;
  }

  /// Everything that reads, in one sentence.
  std::string Looked() const {
    auto book = Book::Open(file_, {true, ""});
    if (!book.ok()) return book.error().message;
    auto report = Verify(*book.value(), {true, seal_, {}});
    if (!report.ok()) return report.error().message;
    std::string said = std::to_string(report.value().revisions) + " revisions";
    for (const auto& fault : report.value().faults) said += ", " + fault.text;
    if (!Find(*book.value(), {}).ok() || !book.value()->History("J-1").ok()) said += ", not all can be read";
    return said;
  }

  const fs::path folder_ = fs::temp_directory_path() / ("rootscroll_archive_" + std::to_string(::getpid()));
  const std::string file_ = (folder_ / "a b%20c?.book").string();
  std::string seal_;
};

TEST_F(ReadOnlyBook, IsReadWhereItLies) {
  Allow(false);
  EXPECT_EQ(AsNobody([this] { return Looked(); }), "1 revisions");
  EXPECT_FALSE(fs::exists(file_ + "-shm"));
}

TEST_F(ReadOnlyBook, WithChangesWaitingBesideItIsReadFromACopy) {
  // As a copy made while somebody wrote: the last revision lies in the -wal file alone.
  auto writer = Book::Open(file_);
  Saved(*writer.value(), SmallRecord("J-2"), 0);
  ASSERT_GT(fs::file_size(file_ + "-wal"), 0u);
  const auto copy = folder_ / "copy";
  fs::create_directories(copy);
  fs::copy_file(file_, copy / "x.book");
  fs::copy_file(file_ + "-wal", copy / "x.book-wal");
  writer = vision::Error{};
  for (const char* name : {"x.book", "x.book-wal"}) fs::permissions(copy / name, fs::perms(0444));
  fs::permissions(copy, fs::perms(0555));
  const std::string said = AsNobody([&] {
    auto book = Book::Open((copy / "x.book").string(), {true, file_ + ".evidence"});
    if (!book.ok()) return book.error().message;
    return std::to_string(Find(*book.value(), {}).value().size()) + " joints";
  });
  fs::permissions(copy, fs::perms(0755));
  EXPECT_EQ(said, "2 joints");
}

TEST_F(ReadOnlyBook, ThatIsToBeWrittenSaysWhyNot) {
  Allow(false);
  const std::string said = AsNobody([this] {
    auto book = Book::Open(file_);
    if (!book.ok()) return book.error().message;
    auto saved = book.value()->Save({SmallRecord("J-3"), 0, "A. Example", "more", {}});
    return saved.ok() ? std::string("saved") : saved.error().message;
  });
  EXPECT_THAT(said, HasSubstr("read-only"));
  EXPECT_THAT(said, testing::Not(HasSubstr("damaged")));
}

TEST_F(ReadOnlyBook, ThatIsDamagedIsStillCalledSo) {
  std::string bytes = Bytes(file_);
  for (std::size_t i = 4096; i < bytes.size(); i += 3) bytes[i] = 'x';
  Write(file_, bytes);
  Allow(false);
  EXPECT_THAT(AsNobody([this] { return Looked(); }), HasSubstr("damaged or no joint book"));
}

}  // namespace
}  // namespace book_test
