#pragma once

#include "app/report/content.h"
#include "app/report/pictures.h"
#include "app/report/report.h"
#include "app/report/text.h"

/// Turns reading, joint and verdict into the content of the record: words, tables and figures, in the order of the
/// page.
namespace app::report {

/// All that the parts of the record are made from.
struct ComposeContext {
  const ReportInput& input;
  const Pictures& pictures;
  const ReportOptions& options;
  double text_width_mm = 178;
  LengthFormat length;
  bool relative = false;  ///< Angles are relative to the picture's up.
};

Content Compose(const ReportInput& input, const Pictures& pictures, const ReportOptions& options, double text_width_mm);

// The parts, each of which appends its blocks.
void AddDisposition(const ComposeContext& context, Content& content);
void AddJointFacts(const ComposeContext& context, Content& content);
void AddCoverage(const ComposeContext& context, Content& content);
void AddStrip(const ComposeContext& context, Content& content);
void AddFusion(const ComposeContext& context, Content& content);
void AddWidth(const ComposeContext& context, Content& content);
void AddMeasured(const ComposeContext& context, Content& content);
void AddIndications(const ComposeContext& context, Content& content);
void AddTint(const ComposeContext& context, Content& content);
void AddCriteria(const ComposeContext& context, Content& content);
void AddNotMeasured(const ComposeContext& context, Content& content);
void AddPoses(const ComposeContext& context, Content& content);
/// Nothing where the reading does not come from a joint book.
void AddRecord(const ComposeContext& context, Content& content);
void AddHouseTexts(const ComposeContext& context, Content& content);
void AddClosing(const ComposeContext& context, Content& content);

/// "near edge, piece a (spool end)"
QString SideText(const ReportInput& input, const std::string& side);
/// The reasons the reading gives for `what` (exact name or its beginning before "_mm"), joined; a plain sentence if
/// none.
QString ReasonsFor(const vision::reading::Reading& reading, const std::string& what);
/// A measured key for people: "crown_height_mm" -> "crown height".
QString PlainName(const std::string& what);

inline QString Q(const std::string& text) { return QString::fromStdString(text); }

}  // namespace app::report
