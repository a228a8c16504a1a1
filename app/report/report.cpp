#include "app/report/report.h"

#include <QGuiApplication>
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <memory>

#include "app/report/change_page.h"
#include "app/report/compose.h"
#include "app/report/html.h"
#include "app/report/page_pictures.h"
#include "app/report/pdf.h"
#include "app/report/wording.h"
#include "app/report/write_content.h"
#include "vision/base/file.h"

namespace app::report {

namespace {
bool IsPlainName(const std::string& name) {
  return !name.empty() && name != "." && name != ".." && name.find_first_of("/\\") == std::string::npos;
}

vision::Status CheckLimit(const std::optional<WidthLimit>& limit) {
  if (!limit) return std::nullopt;
  const auto bad = [](std::optional<double> mm) { return mm && !(std::isfinite(*mm) && *mm > 0); };
  if (!limit->least_mm && !limit->most_mm)
    return vision::BadInput("WidthLimit has neither least_mm nor most_mm; give one.");
  if (bad(limit->least_mm) || bad(limit->most_mm)) return vision::BadInput("WidthLimit must be more than 0 mm.");
  if (limit->source.empty())
    return vision::BadInput("WidthLimit::source is empty; it must say where the limit stands.");
  return std::nullopt;
}

/// The arrays the drawings walk along must be as long as theta.
vision::Status CheckProfile(const vision::reading::Profile& profile) {
  const std::size_t lines = profile.theta_deg.size();
  if (lines == 0) return vision::BadInput("profile.theta_deg is empty; it must hold the half-degree lines.");
  for (const auto* values : {&profile.left_toe_z_mm, &profile.right_toe_z_mm, &profile.width_mm, &profile.width_u_mm,
                             &profile.crown_height_mm, &profile.crown_height_u_mm, &profile.concavity_mm,
                             &profile.concavity_u_mm, &profile.misalignment_mm, &profile.misalignment_u_mm}) {
    if (values->size() != lines)
      return vision::BadInput("profile has arrays of different length; all must be as long as theta_deg.");
  }
  if (profile.fusion_left.size() != lines || profile.fusion_right.size() != lines) {
    return vision::BadInput("profile.fusion_left and fusion_right must be as long as theta_deg.");
  }
  return std::nullopt;
}

/// What Qt says of a missing or shared XDG_RUNTIME_DIR means nothing to the person who wants a report; all others go
/// on.
void PassMessage(QtMsgType type, const QMessageLogContext&, const QString& text) {
  if (type == QtDebugMsg || type == QtInfoMsg || text.startsWith("QStandardPaths:")) return;
  std::fprintf(stderr, "%s\n", qPrintable(text));
}

/// Text and fonts need a QGuiApplication; a command-line program has none.
vision::Status NeedGui() {
  if (qobject_cast<QGuiApplication*>(QCoreApplication::instance()) != nullptr) return std::nullopt;
  if (QCoreApplication::instance() != nullptr) {
    return vision::BadInput("The program made a QCoreApplication; reports need a QGuiApplication or none at all.");
  }
  static int count = 3;
  static char name[] = "rootscroll", option[] = "-platform", platform[] = "offscreen";
  static char* arguments[] = {name, option, platform, nullptr};
  qInstallMessageHandler(PassMessage);
  // Never destroyed: at exit other statics of Qt are gone before it.
  [[maybe_unused]] static auto* const application = new QGuiApplication(count, arguments);
  return std::nullopt;
}

PageMeasures MeasuresOf(Paper paper) {
  PageMeasures measures;
  if (paper == Paper::kLetter) measures.width_mm = 215.9, measures.height_mm = 279.4;  // 8.5 x 11 in
  return measures;
}

vision::Status MakeFolder(const std::filesystem::path& folder) {
  std::error_code error;
  std::filesystem::create_directories(folder, error);
  if (!error) return std::nullopt;
  return vision::Error{vision::ErrorCode::kIo,
                       "Cannot make the folder " + folder.string() + ": " + error.message() + "."};
}
/// What stands before the first page break.
Content PageOneOf(const Content& content) {
  Content front = content;
  const auto is_break = [](const Block& block) { return std::holds_alternative<PageBreak>(block); };
  const auto end = std::find_if(front.blocks.begin(), front.blocks.end(), is_break);
  if (end != front.blocks.end()) front.blocks.erase(end + 1, front.blocks.end());
  return front;
}

/// As many rows and as large rings as leave all that is signed by on page one, in whatever language.
Content Fitted(const ReportInput& input, const Pictures& pictures, const ReportOptions& options,
               const PageMeasures& measures, Wording& wording) {
  Content content;
  for (int rows = 9; rows >= 3; --rows)
    for (const double scale : {0.72, 0.58, 0.46, 0.38}) {
      content = Compose(input, pictures, options, measures.text_width_mm(), {scale, rows});
      wording.Keep(content.names);
      if (PagesBeforeBreak(PageOneOf(content), measures, wording) == 1) return content;
    }
  return content;
}

/// What both ways to set the record start from.
struct Ready {
  PageMeasures measures;
  Wording wording;
  Content content;  ///< Its figures draw from `pictures`.
  Pictures pictures;
};

vision::Result<std::unique_ptr<Ready>> MakeReady(const ReportInput& input, const ReportOptions& options,
                                                 const vision::JobContext& job) {
  if (auto error = options.Check()) return *error;
  if (auto error = CheckLimit(input.width_limit)) return *error;
  if (auto error = CheckProfile(input.reading.profile)) return *error;
  if (auto error = NeedGui()) return *error;
  job.Report(0, "loading pictures");
  auto pictures = LoadPictures(input);
  if (!pictures.ok()) return pictures.error();
  for (const auto& change : input.changes)
    if (auto error = CheckPictures(change)) return *error;
  if (job.Cancelled()) return vision::Cancelled();
  job.Report(0.2, "setting the pages");
  auto ready = std::make_unique<Ready>(
      Ready{MeasuresOf(options.paper), Wording::Of(input.paper), {}, std::move(pictures).value()});
  ready->content = Fitted(input, ready->pictures, options, ready->measures, ready->wording);
  return ready;
}

/// As PDF and as HTML, both written after both have been made whole. @param files Where to; the rest is filled in.
vision::Result<ReportFiles> SetTwice(const Content& content, const PageMeasures& measures, const Wording& wording,
                                     Paper paper, ReportFiles files, const vision::JobContext& job) {
  const auto pdf = ToPdf(content, measures, wording);
  if (!pdf.ok()) return pdf.error();
  if (job.Cancelled()) return vision::Cancelled();
  job.Report(0.6, "setting the HTML");
  QStringList english = wording.unsaid();
  const std::string html = ToHtml(content, paper == Paper::kA4 ? "A4" : "letter", wording, english);
  if (job.Cancelled()) return vision::Cancelled();

  if (auto error = MakeFolder(files.pdf.parent_path())) return *error;
  files.pages = pdf.value().pages;
  english.removeDuplicates();
  for (const QString& text : english) files.in_english.push_back(text.toStdString());
  if (auto error = vision::WriteFileWhole(files.html, html)) return *error;
  if (auto error = vision::WriteFileWhole(files.pdf, pdf.value().bytes)) return *error;
  job.Report(1, "report written");
  return files;
}
}  // namespace

vision::Status StartOffscreen() { return NeedGui(); }

vision::Status ReportOptions::Check() const {
  if (fraction_denominator != 64 && fraction_denominator != 32) {
    return vision::BadInput("ReportOptions::fraction_denominator is " + std::to_string(fraction_denominator) +
                            "; it must be 64 or 32.");
  }
  if (!IsPlainName(html_name)) return vision::BadInput("ReportOptions::html_name must be a plain file name.");
  if (!IsPlainName(pdf_name)) return vision::BadInput("ReportOptions::pdf_name must be a plain file name.");
  if (html_name == pdf_name) return vision::BadInput("ReportOptions::html_name and pdf_name must differ.");
  return std::nullopt;
}

vision::Result<ReportFiles> WriteReport(const ReportInput& input, const std::filesystem::path& out_dir,
                                        const ReportOptions& options, const vision::JobContext& job) {
  auto ready = MakeReady(input, options, job);
  if (!ready.ok()) return ready.error();
  const auto& [measures, wording, content, pictures] = *ready.value();
  return SetTwice(content, measures, wording, options.paper,
                  {out_dir / options.html_name, out_dir / options.pdf_name, 0, {}}, job);
}

vision::Result<std::vector<QImage>> PagesOf(const ReportInput& input, const ReportOptions& options, double dots_per_mm,
                                            const vision::JobContext& job) {
  if (!(dots_per_mm >= 1 && dots_per_mm <= 20))
    return vision::BadInput("dots_per_mm is " + std::to_string(dots_per_mm) + "; it must be 1 to 20.");
  auto ready = MakeReady(input, options, job);
  if (!ready.ok()) return ready.error();
  return ToPictures(ready.value()->content, ready.value()->measures, ready.value()->wording, dots_per_mm);
}

vision::Result<ReportFiles> WriteContent(const std::function<Content(double text_width_mm)>& compose, Paper paper,
                                         const std::filesystem::path& out_dir, const std::string& html_name,
                                         const std::string& pdf_name, const HousePaper& house) {
  if (auto error = NeedGui()) return *error;
  const PageMeasures measures = MeasuresOf(paper);
  const Content content = compose(measures.text_width_mm());
  Wording wording = Wording::Of(house);
  wording.Keep(content.names);
  return SetTwice(content, measures, wording, paper, {out_dir / html_name, out_dir / pdf_name, 0, {}}, {});
}

}  // namespace app::report
