#include "app/viewer/record_steps.h"

#include <algorithm>

#include "app/printed/printed.h"
#include "app/report/page_pictures.h"
#include "app/viewer/pages_view.h"

namespace app::viewer {
namespace {

vision::Result<printed::Printed> PrintFrom(book::Book& book, const OnRecord& what, const Look& look) {
  auto printed = printed::PrintOf(book, {what.joint, what.cycle, what.revision});
  if (printed.ok() && look.language != "en") printed.value().input.paper.language = look.language;
  return printed;
}

/// Fills in what the book says of a revision, and its pages.
vision::Result<OnRecord> Shown(book::Book& book, OnRecord what, const Look& look, const vision::JobContext& job) {
  const auto printed = PrintFrom(book, what, look);
  if (!printed.ok()) return printed.error();
  const auto& input = printed.value().input;
  auto pages = report::PagesOf(input, look.options, PagesView::kDotsPerMm, job);
  if (!pages.ok()) return pages.error();
  what.disposition = input.verdict.disposition;
  what.seal = input.stamp->seal;
  what.signatures = static_cast<int>(input.stamp->signatures.size());
  what.pages = std::move(pages).value();
  return what;
}

vision::Result<std::unique_ptr<book::Book>> OpenOrMake(const std::string& address, bool make) {
  std::error_code absent;
  if (make && !std::filesystem::exists(address, absent)) return book::Book::Create(address);
  return book::Book::Open(address);
}

/// The key must be known under the signer's name; where somebody answers for it, it becomes so.
vision::Status KnowKey(book::Book& book, const SignRequest& request, const book::Signer& key) {
  const auto known = book::FindKey(book, book::Fingerprint(key.PublicHex()));
  if (!known.ok()) return known.error();
  if (known.value()) return std::nullopt;
  if (request.registered_by.empty())
    return vision::BadInput("The book does not know this key yet; say who registers it as that of " +
                            request.statement.name + ".");
  return book::RegisterKey(book, request.statement.name, key.PublicHex(), request.registered_by);
}

}  // namespace

vision::Result<OnRecord> PutOnRecordIn(const std::string& address, bool make, const book::OnRecordRequest& request,
                                       const book::MeasureFunction& measure, const Look& look,
                                       const vision::JobContext& job) {
  auto book = OpenOrMake(address, make);
  if (!book.ok()) return book.error();
  const auto revision = book::PutOnRecord(*book.value(), request, measure, job.Part(0, 0.9));
  if (!revision.ok()) return revision.error();
  return Shown(*book.value(), {address, revision.value().joint, request.intake.cycle, revision.value().number}, look,
               job.Part(0.9, 1));
}

vision::Result<OnRecord> SignIn(const SignRequest& request, const Look& look, const vision::JobContext& job) {
  auto book = book::Book::Open(request.book);
  if (!book.ok()) return book.error();
  const auto& statement = request.statement;
  const auto newest = book.value()->Load(statement.joint);
  if (!newest.ok()) return newest.error();
  if (newest.value().number != statement.revision)
    return vision::BadInput("Joint " + statement.joint + " has revision " + std::to_string(newest.value().number) +
                            " by now; look at its pages before you sign.");
  const auto key = book::SignerAt(request.key, request.secrets);
  if (!key.ok()) return key.error();
  if (auto wrong = KnowKey(*book.value(), request, *key.value())) return *wrong;
  const auto signoff = book::Sign(*book.value(), statement, *key.value());
  if (!signoff.ok()) return signoff.error();
  return Shown(*book.value(), {request.book, statement.joint, request.cycle, statement.revision}, look, job);
}

vision::Result<report::ReportFiles> WriteRecord(const OnRecord& shown, const std::filesystem::path& out,
                                                const Look& look, const vision::JobContext& job) {
  auto book = book::Book::Open(shown.book, {.read_only = true, .evidence_folder = {}});
  if (!book.ok()) return book.error();
  const auto printed = PrintFrom(*book.value(), shown, look);
  if (!printed.ok()) return printed.error();
  return report::WriteReport(printed.value().input, out, look.options, job);
}

}  // namespace app::viewer
