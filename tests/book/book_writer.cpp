// book_writer BOOK NAME: saves revision after revision and says each on standard output once the book has it, until it
// is killed. For tests of what a killed writer leaves behind.
#include <cstdio>

#include "app/book/book.h"

using namespace app::book;

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  auto opened = Book::Open(argv[1]);
  if (!opened.ok()) return std::fprintf(stderr, "%s\n", opened.error().message.c_str()), 2;
  Book& book = *opened.value();
  const std::string joint = argv[2];
  for (int n = 0;; ++n) {
    auto head = book.Load(joint);
    Record record;
    record.joint = joint;
    if (head.ok()) record = FromJson(head.value().body, joint).value();
    if (record.cycles.empty()) record.cycles.emplace_back();
    const std::string bytes =
        joint + " evidence " + std::to_string(head.ok() ? head.value().number : 0) + std::string(3000, 'x');
    auto ref = book.evidence().Keep(bytes, "evidence.txt");
    if (!ref.ok()) return std::fprintf(stderr, "%s\n", ref.error().message.c_str()), 2;
    record.cycles[0].film = {ref.value()};
    record.annotations.resize(1);
    record.annotations[0].text = std::to_string(n);
    auto outcome = book.Save({record, head.ok() ? head.value().number : 0, joint, "one more", {}});
    if (!outcome.ok()) return std::fprintf(stderr, "%s\n", outcome.error().message.c_str()), 2;
    if (!outcome.value().saved) continue;
    std::printf("saved %s %lld %s\n", joint.c_str(), static_cast<long long>(outcome.value().saved->number),
                outcome.value().saved->hash.c_str());
    std::fflush(stdout);
  }
}
