// book_load BOOK EVIDENCE JOINTS: fills a new book with JOINTS invented joints of three revisions each and prints, as
// JSON, how long saving, opening, finding and listing take. For the proof; BOOK must not exist yet (an empty database).
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <functional>

#include "app/book/find.h"
#include "app/joint/verdict.h"

using namespace app::book;

namespace {
double Milliseconds(const std::function<void()>& work) {
  const auto begin = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin).count();
}

[[noreturn]] void End(const std::string& message) {
  std::fprintf(stderr, "%s\n", message.c_str());
  std::exit(2);
}

template <class T>
T Take(vision::Result<T> result) {
  if (!result.ok()) End(result.error().message);
  return std::move(result).value();
}

std::int64_t Save(Book& book, const Record& record, std::int64_t based_on) {
  auto outcome = Take(book.Save({record, based_on, "A. Example", "invented", {}}));
  if (!outcome.saved) End("not saved");
  return outcome.saved->number;
}

VerdictEntry JudgedBy(Book& book, const FileRef& reading, app::joint::Outcome outcome) {
  app::joint::Verdict verdict;
  verdict.criterion = "MIL-STD-2035A Class 1", verdict.standard = "MIL-STD-2035A", verdict.edition = "1995";
  verdict.findings.resize(1);
  verdict.findings[0].rule_id = verdict.findings[0].title = "width";
  verdict.findings[0].outcome = outcome;
  app::joint::Dispose(&verdict);
  verdict.reading_sha256 = reading.sha256;
  return {verdict.criterion,  verdict.standard,
          verdict.edition,    verdict.disposition,
          verdict.decided_by, verdict.exit_code,
          reading.sha256,     Take(book.evidence().Keep(app::joint::ToJson(verdict), "verdict.json"))};
}

/// As a joint looks after taking in, measuring and one correction; files are shared, their references are not.
void SaveJoint(Book& book, int n, const FileRef& original, FileRef derived) {
  derived.kind = "derived";
  derived.from = {original.sha256};
  derived.settings = "rootscroll: pitch_mm 0.1, zone_mm 12.7, video_frames 6";
  Record record;
  char name[40];
  std::snprintf(name, sizeof name, "L%02d-%05d", n % 40, n);
  record.joint = name;
  record.line = "Line " + std::to_string(n % 40);
  record.material = "316L";
  record.insert_class = std::to_string(1 + n % 5);
  record.criterion = "MIL-STD-2035A Class 1";
  record.piece_a = "spool end", record.piece_b = "elbow end";
  Cycle cycle;
  cycle.welder = "W-" + std::to_string(n % 60);
  cycle.welded_on = "2026-" + std::string(n % 2 ? "03" : "04") + "-" + std::to_string(10 + n % 20);
  cycle.recordings.push_back({"root", "root", original, {original, original}});
  record.cycles = {cycle};
  std::int64_t head = Save(book, record, 0);
  ReadingEntry reading{{"root"}, "0.1.0", NowUtc(), true, derived, {derived, derived, derived, derived}};
  const VerdictEntry verdict =
      JudgedBy(book, derived, n % 7 ? app::joint::Outcome::kWithin : app::joint::Outcome::kBeyond);
  record.cycles[0].readings = {reading};
  record.cycles[0].verdicts = {verdict};
  if (n % 7 == 0)
    record.cycles[0].findings.push_back(
        {"original edge visible", "", "left", n % 360 * 1.0, n % 360 + 20.0, "open", ""});
  head = Save(book, record, head);
  record.annotations.push_back({"A. Example", NowUtc(), "R0", "looked at again", 10.0, 0.5});
  Save(book, record, head);
}
}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) End("book_load BOOK EVIDENCE JOINTS");
  const int joints = std::atoi(argv[3]);
  auto book = Take(Book::Create(argv[1], {argv[2]}));
  const FileRef original = Take(book->evidence().Keep("an invented recording", "from_a.jpg"));
  const FileRef derived = Take(book->evidence().Keep("an invented strip", "strip.png"));
  const double fill = Milliseconds([&] {
    for (int n = 0; n < joints; ++n) SaveJoint(*book, n, original, derived);
  });
  book.reset();
  const double open = Milliseconds([&] { book = Take(Book::Open(argv[1])); });
  std::size_t listed = 0, found = 0;
  FindFilter all;
  all.most = 1000000;
  const double list = Milliseconds([&] { listed = Take(Find(*book, all)).size(); });
  FindFilter some;
  some.welder = "W-12";
  some.from = "2026-04-01";
  const double find = Milliseconds([&] { found = Take(Find(*book, some)).size(); });
  FindFilter unfused;
  unfused.open_findings = true;
  const double findings = Milliseconds([&] { (void)Take(Find(*book, unfused)); });
  const double load = Milliseconds([&] { (void)Take(book->LoadRecord("L07-00007")); });
  const double trends = Milliseconds([&] { (void)Take(FirstPassByWelder(*book)); });
  std::printf(
      "{\"joints\": %d, \"save_ms\": %.3f, \"open_ms\": %.2f, \"list_ms\": %.2f, \"listed\": %zu, \"find_ms\": %.2f, "
      "\"found\": %zu, \"open_findings_ms\": %.2f, \"load_ms\": %.3f, \"trend_ms\": %.2f}\n",
      joints, fill / (3.0 * joints), open, list, listed, find, found, findings, load, trends);
  return 0;
}
