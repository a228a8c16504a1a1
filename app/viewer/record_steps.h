#pragma once

#include <QImage>
#include <filesystem>
#include <string>
#include <vector>

#include "app/book/batch.h"
#include "app/book/put_on_record.h"
#include "app/book/signer_at.h"
#include "app/book/signoff.h"
#include "app/report/report.h"

/// From a joint in the window to a signed record: each step opens the book and closes it again. No widgets.
namespace app::viewer {

/// A joint as it lies in a book, with its pages: what a person signs is what these pages show.
struct OnRecord {
  std::string book, joint, cycle;
  std::int64_t revision = 0;
  std::string disposition = {};
  std::string seal = {};  ///< The book's newest, to be noted outside it.
  int signatures = 0;     ///< On this revision.
  std::vector<QImage> pages = {};
};

struct Look {
  report::ReportOptions options = {};
  std::string language;  ///< "en" or one of report::Languages().
};

/// @param make Makes the book where there is none.
vision::Result<OnRecord> PutOnRecordIn(const std::string& book, bool make, const book::OnRecordRequest& request,
                                       const book::MeasureFunction& measure, const Look& look,
                                       const vision::JobContext& job = {});

struct SignRequest {
  std::string book, cycle;
  book::Statement statement;  ///< Its joint and revision are those whose pages were shown.
  std::string key;            ///< File or token.
  book::Secrets secrets;
  std::string registered_by;  ///< Who registers a key that the book does not know yet; empty: that is refused.
};

/// Signs and gives the pages with the signature on them.
/// @return As book::Sign; kBadInput for a key that is not known and nobody registers, or where the book holds a newer
///   revision than the one shown.
vision::Result<OnRecord> SignIn(const SignRequest& request, const Look& look, const vision::JobContext& job = {});

/// Writes the record of what was shown into a folder.
vision::Result<report::ReportFiles> WriteRecord(const OnRecord& shown, const std::filesystem::path& out,
                                                const Look& look, const vision::JobContext& job = {});

}  // namespace app::viewer
