#include <algorithm>
#include <cmath>

#include "app/joint/confidence.h"
#include "app/notes/span.h"
#include "app/report/compose.h"
#include "vision/bore/angle.h"

namespace app::report {
namespace {

using known::Known;

/// One thing that is known: what, where, what was measured, what a person decided.
struct Line {
  Text number, what, where, measured, decided;
  QImage picture = {};
  int order = 0;  ///< Of page one: what stands as not fused first.
};

const Text kNothing = Typed("–");

Text OrUnknown(const std::string& text, const Text& unknown) { return text.empty() ? unknown : Typed(text); }

/// "overruled by R. Example, 2026-01-31T10:00:00Z: looked at abeam"
Text DecisionText(Print by, const std::string& who, const std::string& when, const std::string& why) {
  return {by, {OrUnknown(who, Says::kAPerson), Typed(when), OrUnknown(why, Print::kNoReasonGiven)}};
}

Text DecidedText(const std::optional<known::Decision>& decided) {
  if (!decided) return kNothing;
  using What = known::Decision::What;
  const Print by = decided->what == What::kConfirmed   ? Print::kConfirmedBy
                   : decided->what == What::kOverruled ? Print::kOverruledBy
                   : decided->what == What::kSetByHand ? Print::kSetByHandBy
                                                       : Print::kSeenBy;
  return DecisionText(by, decided->by, decided->when, decided->why);
}

Text ConfidenceText(double confidence) { return Term(joint::ConfidenceText(confidence)); }

Text WithConfidence(const Text& text, double confidence) {
  return std::isfinite(confidence) ? Text(Print::kWithConfidence, {text, ConfidenceText(confidence)}) : text;
}

Text MeasuredRun(const ComposeContext& context, const known::Run& run) {
  const Text arc = context.length.Measured(run.run.arc_mm, run.run.arc_u_mm);
  return run.measured ? WithConfidence(arc, run.run.confidence) : Text(Print::kArcAsDrawn, {arc});
}

void AddRuns(const ComposeContext& context, std::vector<Line>& lines) {
  const Known& known = context.known;
  for (std::size_t i = 0; i < known.runs.size(); ++i) {
    const auto& run = known.runs[i];
    Line line{Typed(i + 1),
              {Print::kEdgeVisibleAt, {SideText(context.input, run.run.side)}},
              SpanText(run.run.start_deg, run.run.end_deg, context.relative),
              MeasuredRun(context, run),
              DecidedText(run.decided)};
    if (i < context.pictures.runs.size()) line.picture = context.pictures.runs[i];
    line.order = run.overruled() ? 1 : 0;
    lines.push_back(std::move(line));
  }
}

Text SizeText(const ComposeContext& context, const vision::reading::Indication& it) {
  std::vector<Text> sizes;
  const auto add = [&](Print name, double mm, double u) {
    if (std::isfinite(mm)) sizes.push_back({name, {context.length.Measured(mm, u)}});
  };
  add(Print::kLengthOf, it.length_mm, it.length_u_mm);
  add(Print::kWidthOf, it.width_mm, it.width_u_mm);
  add(Print::kDepthOf, it.depth_mm, it.depth_u_mm);
  if (sizes.empty()) sizes.push_back(Print::kSizeNotMeasured);
  if (std::isfinite(it.z_mm)) sizes.push_back({Print::kZOf, {context.length.Plain(it.z_mm, 1)}});
  return Joined(Print::kThen, sizes);
}

void AddFound(const ComposeContext& context, std::vector<Line>& lines) {
  const Known& known = context.known;
  for (std::size_t i = 0; i < known.found.size(); ++i) {
    const auto& one = known.found[i];
    if (!one.measured) continue;  // said once, as the note that a person drew
    const auto& it = one.indication;
    Line line{Typed("I" + std::to_string(i + 1)), WithIso(PlainName(it.kind), it.iso6520),
              PlaceText(it.theta_deg, context.relative), WithConfidence(SizeText(context, it), it.confidence),
              DecidedText(one.decided)};
    if (i < context.pictures.indications.size()) line.picture = context.pictures.indications[i];
    line.order = 1;
    lines.push_back(std::move(line));
  }
}

Text HandText(const notes::HandU& u, const LengthFormat& length) {
  const Text expanded = length.Plain(kCoverage * u.u_mm);
  return u.assumed ? Text(Print::kHandAssumed, {expanded}) : Text(Print::kHandFrom, {expanded, Typed(u.placings)});
}

void AddToes(const ComposeContext& context, std::vector<Line>& lines) {
  for (std::size_t i = 0; i < context.known.toes.size(); ++i) {
    const auto& toe = context.known.toes[i];
    lines.push_back({Typed("T" + std::to_string(i + 1)),
                     {Print::kToeAt, {SideText(context.input, toe.set.side)}},
                     SpanText(toe.set.points.front().theta_deg, toe.set.points.back().theta_deg, context.relative),
                     HandText(toe.u, context.length),
                     DecidedText(toe.decided),
                     {},
                     4});
  }
}

Text DrawnSize(const ComposeContext& context, const notes::Extent& extent) {
  if (!std::isfinite(extent.length_mm)) return Print::kNotMeasured;
  std::vector<Text> sizes{{Print::kLengthOf, {context.length.Measured(extent.length_mm, extent.length_u_mm)}}};
  if (std::isfinite(extent.width_mm))
    sizes.push_back({Print::kWidthOf, {context.length.Measured(extent.width_mm, extent.width_u_mm)}});
  return {Print::kAsDrawn, {Joined(Print::kThen, sizes)}};
}

/// "open, not judged; seen by R. Example, 2026-01-31", then what was typed.
Text StateText(const known::Seen& seen) {
  return Joined(Says::kBelow,
                {{Print::kSeenState,
                  {Term(notes::NameOf(seen.note.status)), seen.judged ? Print::kJudged : Print::kNotJudged,
                   OrUnknown(seen.decided.by, Says::kAPerson), Typed(seen.decided.when)}},
                 Typed(seen.note.text),
                 Typed(seen.decided.why)});
}

void AddSeen(const ComposeContext& context, std::vector<Line>& lines) {
  for (const auto& seen : context.known.seen) {
    if (seen.note.points.empty()) continue;
    const auto [from, to] = notes::SpanOf(seen.note);
    const bool open = seen.note.status == notes::Status::kOpen && !seen.marked_place;
    lines.push_back(
        {Typed("N" + std::to_string(seen.note.id)),
         WithIso(Term(seen.kind_name), seen.iso6520),
         seen.note.points.size() == 1 ? PlaceText(from, context.relative) : SpanText(from, to, context.relative),
         DrawnSize(context, seen.extent),
         StateText(seen),
         {},
         seen.judged ? 0
         : open      ? 2
                     : 5});
  }
}

/// A class where no number is told, one line a kind; no verdict rests on it.
void AddSections(const ComposeContext& context, std::vector<Line>& lines) {
  for (const auto& [kind, section] : {std::pair{"concave", Print::kSectionConcave},
                                      {"flush", Print::kSectionFlush},
                                      {"convex", Print::kSectionConvex}}) {
    int arcs = 0;
    double degrees = 0, least = 1, against_mm = 0;
    for (const auto& arc : context.known.measured.sections) {
      if (arc.kind != kind) continue;
      ++arcs, degrees += vision::bore::ArcBetween(arc.start_deg, arc.end_deg).length_deg;
      least = std::min(least, arc.chance), against_mm = arc.against_mm;
    }
    if (arcs == 0) continue;
    lines.push_back({kNothing,
                     section,
                     {Print::kDegreesInArcs, {Number(degrees, 0), Typed(arcs)}},
                     {Print::kNoNumber, {ConfidenceText(least), context.length.Plain(against_mm)}},
                     kNothing});
  }
}

void AddLost(const ComposeContext& context, std::vector<Line>& lines) {
  for (const auto& ruling : context.known.lost)
    lines.push_back({kNothing,
                     Print::kRulingOnLost,
                     Typed(ruling.about),
                     Print::kNothingThere,
                     Text(ruling.overruled ? Print::kOverruledBy : Print::kConfirmedBy,
                          {Typed(ruling.by.author), Typed(ruling.by.time), Typed(ruling.reason)}),
                     {},
                     6});
}

std::vector<Line> LinesOf(const ComposeContext& context) {
  std::vector<Line> lines;
  AddRuns(context, lines);
  AddFound(context, lines);
  AddToes(context, lines);
  AddSeen(context, lines);
  AddLost(context, lines);
  return lines;
}

Table TableOf(const std::vector<Line>& lines, bool pictures) {
  Table table;
  table.fine = true;
  table.columns = {{Print::kNumberColumn, 5},
                   {Print::kWhatColumn, 21},
                   {Print::kWhereClockwise, 19},
                   {Print::kMeasuredColumn, 22},
                   {Print::kDecidedColumn, pictures ? 25.0 : 33.0}};
  if (pictures) table.columns.push_back({Print::kPictureColumn, 12});
  for (const Line& line : lines) {
    std::vector<Cell> row{
        {line.number, {}, true}, {line.what, {}, true}, {line.where}, {line.measured}, {line.decided}};
    if (pictures) row.push_back({{}, line.picture});
    table.rows.push_back(std::move(row));
  }
  return table;
}

Text KeptText(const known::Recorded& recorded) {
  if (recorded.where == known::Recorded::Where::kFile) return Print::kInNotesFile;
  if (recorded.where == known::Recorded::Where::kNowhere) return Print::kNotSaved;
  return {Print::kInBook, {Typed(recorded.cycle), Typed(recorded.revision)}};
}

/// Where what people decided is kept, and what it does to the verdict.
void AddKept(const ComposeContext& context, Content& content) {
  const Known& known = context.known;
  if (known.toes.empty() && known.seen.empty() && known.lost.empty() && known.OverruledCount() == 0) return;
  content.blocks.push_back(Paragraph{{Print::kKept, {KeptText(known.recorded)}}, Paragraph::Weight::kSmall});
}

}  // namespace

void AddFoundInShort(const ComposeContext& context, Content& content) {
  auto lines = LinesOf(context);
  content.blocks.push_back(Heading{Print::kWhatWasFound, true});
  if (lines.empty()) {
    content.blocks.push_back(Paragraph{Print::kNothingListed});
    return;
  }
  std::stable_sort(lines.begin(), lines.end(), [](const Line& a, const Line& b) { return a.order < b.order; });
  const auto most = static_cast<std::size_t>(context.page_one.rows);
  const std::size_t all = lines.size();
  if (all > most) lines.resize(most);
  content.blocks.push_back(TableOf(lines, false));
  if (all > most)
    content.blocks.push_back(Paragraph{{Print::kMoreInAnnex, {Typed(all - most)}}, Paragraph::Weight::kStrongLine});
  AddKept(context, content);
}

void AddFoundInFull(const ComposeContext& context, Content& content) {
  auto lines = LinesOf(context);
  const bool cut = lines.size() > static_cast<std::size_t>(context.page_one.rows);
  const std::size_t found = lines.size();
  AddSections(context, lines);
  const auto pictured = [](const Line& line) { return !line.picture.isNull(); };
  const bool pictures = std::any_of(lines.begin(), lines.end(), pictured);
  if (pictures || cut || lines.size() > found) {
    content.blocks.push_back(Heading{Print::kAllKnown});
    content.blocks.push_back(TableOf(lines, pictures));
  }
  const auto& reading = context.known.measured;
  for (const auto& flag : reading.flags) {
    content.blocks.push_back(
        Paragraph{{Says::kLookHere,
                   {PlainName(flag.kind), SpanText(flag.start_deg, flag.end_deg, context.relative), flag.text}}});
  }
}

}  // namespace app::report
