#pragma once

#include "app/report/content.h"
#include "app/report/pictures.h"
#include "app/report/report.h"
#include "app/report/text.h"
#include "app/words/print.h"
#include "vision/base/says.h"

/// Turns reading, joint and verdict into the content of the record: words, tables and figures, in the order of the
/// page.
namespace app::report {

/// How page one is set so that all that a person signs by is on it.
struct PageOne {
  double rings_scale = 0.68;  ///< Of the end view's rings.
  int rows = 6;               ///< Most rows of what was found; the rest is on the page after.
};

/// All that the parts of the record are made from.
struct ComposeContext {
  const ReportInput& input;
  const known::Known& known;
  const Pictures& pictures;
  const ReportOptions& options;
  double text_width_mm = 178;
  LengthFormat length;
  bool relative = false;  ///< Angles are relative to the picture's up.
  PageOne page_one = {};
};

/// Page one: what a person signs. Page two: the numbers. Then the annex, in which nothing is said twice.
Content Compose(const ReportInput& input, const Pictures& pictures, const ReportOptions& options, double text_width_mm,
                const PageOne& page_one = {});

// Page one. Each part appends its blocks.
void AddDisposition(const ComposeContext& context, Content& content);
void AddFoundInShort(const ComposeContext& context, Content& content);
void AddRingsAndStrip(const ComposeContext& context, Content& content);
void AddCoverage(const ComposeContext& context, Content& content);
void AddCautions(const ComposeContext& context, Content& content);
/// Lines to sign on; of a record of the joint book who signed it, and its code.
void AddSignatures(const ComposeContext& context, Content& content);

// Page two.
void AddWidth(const ComposeContext& context, Content& content);
void AddMeasured(const ComposeContext& context, Content& content);
void AddCriteria(const ComposeContext& context, Content& content);
void AddSectors(const ComposeContext& context, Content& content);

// Annex.
void AddFoundInFull(const ComposeContext& context, Content& content);
void AddStrip(const ComposeContext& context, Content& content);
void AddTint(const ComposeContext& context, Content& content);
void AddNotMeasured(const ComposeContext& context, Content& content);
void AddJointFacts(const ComposeContext& context, Content& content);
void AddPoses(const ComposeContext& context, Content& content);
/// Nothing where the reading does not come from a joint book.
void AddRecord(const ComposeContext& context, Content& content);
void AddHouseTexts(const ComposeContext& context, Content& content);
void AddWritten(const ComposeContext& context, Content& content);

using vision::Says;

/// What theta 0 is; says so where nobody entered a datum.
Text ZeroText(const app::joint::Joint& joint);
/// "Joint FB-112".
inline Text JointText(const std::string& id) { return Joined(Says::kBesides, {Print::kJoint, Typed(id)}); }
/// "piece a: spool end"
Text SideText(const ReportInput& input, const std::string& side);
/// The reasons the reading gives for `what`, joined; a plain sentence if none.
Text ReasonsFor(const vision::reading::Reading& reading, const std::string& what);
/// A measured key or a kind for people: "crown_height_mm" -> "crown height".
Text PlainName(const std::string& what);

/// "%1 (ISO 6520-1: %2)" where the number is known.
inline Text WithIso(const Text& what, const std::string& iso6520) {
  return iso6520.empty() ? what : Text(Print::kIso, {what, Typed(iso6520)});
}

inline QString Q(const std::string& text) { return QString::fromStdString(text); }

}  // namespace app::report
