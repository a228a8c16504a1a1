#include "app/viewer/record_now.h"

#include "app/book/digest.h"

namespace app::viewer {

report::ReportInput RecordNow(const Desk& desk) {
  const Opened& opened = desk.opened();
  auto input = report::InputOf(opened.joint, opened.reading, {desk.notes(), desk.known().recorded, {}}, desk.criteria(),
                               opened.folder);
  if (Words::Language() != "en") input.paper.language = Words::Language().toStdString();
  if (const auto sum = book::Sha256OfFile(opened.folder / "reading.json"); sum.ok())
    input.verdict.reading_sha256 = sum.value();
  return input;
}

}  // namespace app::viewer
