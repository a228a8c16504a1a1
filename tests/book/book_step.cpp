// book_step VERB BOOK FOLDER: does one thing to a book as the command does it, and says on standard output what the
// book has acknowledged. For the test that kills it at every call that changes a file.
#include <cstdio>

#include "app/book/bundle.h"
#include "app/book/intake.h"
#include "app/book/signoff.h"
#include "app/book/verify.h"

using namespace app::book;

namespace {
int Fail(const std::string& why) { return std::fprintf(stderr, "%s\n", why.c_str()), 2; }

int Saved(const vision::Result<SaveOutcome>& outcome) {
  if (!outcome.ok()) return Fail(outcome.error().message);
  if (!outcome.value().saved) return Fail("not saved");
  std::printf("revision %s %lld %s\n", outcome.value().saved->joint.c_str(),
              static_cast<long long>(outcome.value().saved->number), outcome.value().saved->hash.c_str());
  return 0;
}

int Add(Book& book, const std::string& folder) {
  Record record = book.LoadRecord("B-0").value();
  if (auto wrong = TakeIn(book, {folder + "/joint.json", {"root"}, "R1", "", "", false, "", ""}, record))
    return Fail(wrong->message);
  return Saved(book.Save({record, 1, "A. Example", "first repair", {}}));
}

int Note(Book& book) {
  Record record = book.LoadRecord("B-0").value();
  record.annotations.push_back({"A. Example", NowUtc(), "R0", "looked at again", 10.0, 0.5});
  return Saved(book.Save({record, 1, "A. Example", "note", {}}));
}

int Put(Book& book) {
  Record record;
  record.joint = "P-1";
  record.cycles.emplace_back();
  record.cycles[0].film = {book.evidence().Keep(std::string(20000, 'f'), "film.png").value()};
  return Saved(book.Save({record, 0, "A. Example", "first entry", {}}));
}

int SignIt(Book& book) {
  Statement statement{"B-0",
                      1,
                      "",
                      "examined",
                      "C. Examiner",
                      "examiner",
                      "VT 2",
                      "2999-01-01",
                      NowUtc().substr(0, 10),
                      "VT-PR-3",
                      "1100 lx",
                      "0.8 mm line",
                      "As found.",
                      "",
                      ""};
  auto signoff = Sign(book, statement, PrivateKey::FromRaw(std::string(64, '3')).value());
  if (!signoff.ok()) return Fail(signoff.error().message);
  std::printf("signoff B-0 1 %s\n", signoff.value().hash.c_str());
  return 0;
}

int Import(Book& book, const std::string& folder) {
  auto report = ImportBundle(book, folder + "/one.zip", {true});
  if (!report.ok()) return Fail(report.error().message);
  auto newest = book.Load(report.value().joint);
  std::printf("revision %s %lld %s\n", report.value().joint.c_str(), static_cast<long long>(newest.value().number),
              newest.value().hash.c_str());
  return 0;
}
}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) return 2;
  std::setvbuf(stdout, nullptr, _IOLBF, 0);  // what is acknowledged is said at once
  const std::string verb = argv[1];
  auto opened = Book::Open(argv[2]);
  if (!opened.ok()) return Fail(opened.error().message);
  Book& book = *opened.value();
  if (verb == "add") return Add(book, argv[3]);
  if (verb == "put") return Put(book);
  if (verb == "note") return Note(book);
  if (verb == "sign") return SignIt(book);
  if (verb == "import") return Import(book, argv[3]);
  return 2;
}
