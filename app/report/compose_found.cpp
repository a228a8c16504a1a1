#include <algorithm>
#include <cmath>

#include "app/joint/confidence.h"
#include "app/notes/span.h"
#include "app/report/compose.h"
#include "vision/base/says.h"
#include "vision/bore/angle.h"

namespace app::report {
namespace {

using known::Known;

/// One thing that is known: what, where, what was measured, what a person decided.
struct Line {
  QString number, what, where, measured, decided;
  QImage picture = {};
  int order = 0;  ///< Of page one: what stands as not fused first.
};

constexpr const char* kNothing = "–";

QString DecidedText(const std::optional<known::Decision>& decided) {
  return decided ? Q(known::Said(*decided)) : QString(kNothing);
}

QString MeasuredRun(const ComposeContext& context, const known::Run& run) {
  if (!run.measured) return "not measured; arc as drawn " + context.length.Measured(run.run.arc_mm, run.run.arc_u_mm);
  QString text = context.length.Measured(run.run.arc_mm, run.run.arc_u_mm);
  if (std::isfinite(run.run.confidence)) text += ", confidence " + Q(joint::ConfidenceText(run.run.confidence));
  return text;
}

void AddRuns(const ComposeContext& context, std::vector<Line>& lines) {
  const Known& known = context.known;
  for (std::size_t i = 0; i < known.runs.size(); ++i) {
    const auto& run = known.runs[i];
    Line line{QString::number(i + 1), "original edge visible, " + SideText(context.input, run.run.side),
              SpanText(run.run.start_deg, run.run.end_deg, context.relative), MeasuredRun(context, run),
              DecidedText(run.decided)};
    if (i < context.pictures.runs.size()) line.picture = context.pictures.runs[i];
    line.order = run.overruled() ? 1 : 0;
    lines.push_back(std::move(line));
  }
}

QString SizeText(const ComposeContext& context, const vision::reading::Indication& it) {
  QStringList sizes;
  const auto add = [&](const char* name, double mm, double u) {
    if (std::isfinite(mm)) sizes << QString(name) + " " + context.length.Measured(mm, u);
  };
  add("length", it.length_mm, it.length_u_mm);
  add("width", it.width_mm, it.width_u_mm);
  add("depth", it.depth_mm, it.depth_u_mm);
  if (sizes.isEmpty()) sizes << "size not measured";
  if (std::isfinite(it.z_mm)) sizes << "z " + context.length.Plain(it.z_mm, 1);
  return sizes.join(", ");
}

void AddFound(const ComposeContext& context, std::vector<Line>& lines) {
  const Known& known = context.known;
  for (std::size_t i = 0; i < known.found.size(); ++i) {
    const auto& one = known.found[i];
    if (!one.measured) continue;  // said once, as the note that a person drew
    const auto& it = one.indication;
    Line line{
        "I" + QString::number(i + 1),
        PlainName(it.kind) + (it.iso6520.empty() ? QString() : " (ISO 6520-1: " + Q(it.iso6520) + ")"),
        PlaceText(it.theta_deg, context.relative),
        SizeText(context, it) +
            (std::isfinite(it.confidence) ? ", confidence " + Q(joint::ConfidenceText(it.confidence)) : QString()),
        DecidedText(one.decided)};
    if (i < context.pictures.indications.size()) line.picture = context.pictures.indications[i];
    line.order = 1;
    lines.push_back(std::move(line));
  }
}

QString HandText(const notes::HandU& u, const LengthFormat& length) {
  const QString expanded = "U of the hand " + length.Plain(kCoverage * u.u_mm) + " (k = 2), ";
  return "the measured toe is kept; " + expanded +
         (u.assumed ? QString("assumed until it is placed five times") : QString("from %1 placings").arg(u.placings));
}

void AddToes(const ComposeContext& context, std::vector<Line>& lines) {
  for (std::size_t i = 0; i < context.known.toes.size(); ++i) {
    const auto& toe = context.known.toes[i];
    lines.push_back({"T" + QString::number(i + 1),
                     "toe, " + SideText(context.input, toe.set.side),
                     SpanText(toe.set.points.front().theta_deg, toe.set.points.back().theta_deg, context.relative),
                     HandText(toe.u, context.length),
                     DecidedText(toe.decided),
                     {},
                     4});
  }
}

QString DrawnSize(const ComposeContext& context, const notes::Extent& extent) {
  if (!std::isfinite(extent.length_mm)) return "not measured";
  QString text = "not measured; as drawn: length " + context.length.Measured(extent.length_mm, extent.length_u_mm);
  if (std::isfinite(extent.width_mm)) text += ", width " + context.length.Measured(extent.width_mm, extent.width_u_mm);
  return text;
}

/// "open, seen by R. Example, 2026-01-31: text"
QString StateText(const known::Seen& seen) {
  QString text = Q(notes::NameOf(seen.note.status)) + (seen.judged ? ", judged" : ", not judged") + "; seen by " +
                 (seen.decided.by.empty() ? QString("a person") : Q(seen.decided.by)) + ", " + Q(seen.decided.when);
  if (!seen.note.text.empty()) text += "\n" + Q(seen.note.text);
  if (!seen.decided.why.empty()) text += "\n" + Q(seen.decided.why);
  return text;
}

void AddSeen(const ComposeContext& context, std::vector<Line>& lines) {
  for (const auto& seen : context.known.seen) {
    if (seen.note.points.empty()) continue;
    const auto [from, to] = notes::SpanOf(seen.note);
    lines.push_back(
        {"N" + QString::number(seen.note.id),
         Q(seen.kind_name) + (seen.iso6520.empty() ? QString() : " (ISO 6520-1: " + Q(seen.iso6520) + ")"),
         seen.note.points.size() == 1 ? PlaceText(from, context.relative) : SpanText(from, to, context.relative),
         DrawnSize(context, seen.extent),
         StateText(seen),
         {},
         seen.judged                                                      ? 0
         : seen.note.status == notes::Status::kOpen && !seen.marked_place ? 2
                                                                          : 5});
  }
}

/// A class where no number is told, one line a kind; no verdict rests on it.
void AddSections(const ComposeContext& context, std::vector<Line>& lines) {
  for (const char* kind : {"concave", "flush", "convex"}) {
    int arcs = 0;
    double degrees = 0, least = 1, against_mm = 0;
    for (const auto& arc : context.known.measured.sections) {
      if (arc.kind != kind) continue;
      ++arcs, degrees += vision::bore::ArcBetween(arc.start_deg, arc.end_deg).length_deg;
      least = std::min(least, arc.chance), against_mm = arc.against_mm;
    }
    if (arcs == 0) continue;
    lines.push_back(
        {kNothing, QString("section by the camera's travel, ") + kind,
         QString("%1 degrees in %2 arcs").arg(degrees, 0, 'f', 0).arg(arcs),
         "no number, confidence " + Q(joint::ConfidenceText(least)) + "; against " + context.length.Plain(against_mm),
         kNothing});
  }
}

void AddLost(const ComposeContext& context, std::vector<Line>& lines) {
  for (const auto& ruling : context.known.lost)
    lines.push_back({kNothing,
                     "ruling on what is no longer measured",
                     Q(ruling.about),
                     "nothing there now",
                     Q((ruling.overruled ? "overruled by " : "confirmed by ") + ruling.by.author + ", " +
                       ruling.by.time + ": " + ruling.reason),
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
  table.columns = {{"No.", 5},
                   {"what", 21},
                   {"where, clockwise", 19},
                   {"measured (± U, k = 2)", 22},
                   {"decided by a person", pictures ? 25.0 : 33.0}};
  if (pictures) table.columns.push_back({"picture", 12});
  for (const Line& line : lines) {
    std::vector<Cell> row{
        {line.number, {}, true}, {line.what, {}, true}, {line.where}, {line.measured}, {line.decided}};
    if (pictures) row.push_back({QString(), line.picture});
    table.rows.push_back(std::move(row));
  }
  return table;
}

/// Where what people decided is kept, and what it does to the verdict.
void AddKept(const ComposeContext& context, Content& content) {
  const Known& known = context.known;
  if (known.toes.empty() && known.seen.empty() && known.lost.empty() && known.OverruledCount() == 0) return;
  content.blocks.push_back(Paragraph{"On the record: what people decided is " + Q(known::Said(known.recorded)) +
                                         ". What was measured is kept beside it.",
                                     Paragraph::Weight::kSmall});
}

}  // namespace

void AddFoundInShort(const ComposeContext& context, Content& content) {
  auto lines = LinesOf(context);
  content.blocks.push_back(Heading{"What was found", true});
  if (lines.empty()) {
    content.blocks.push_back(Paragraph{"Nothing is listed in what was seen."});
    return;
  }
  std::stable_sort(lines.begin(), lines.end(), [](const Line& a, const Line& b) { return a.order < b.order; });
  const auto most = static_cast<std::size_t>(context.page_one.rows);
  const std::size_t all = lines.size();
  if (all > most) lines.resize(most);
  content.blocks.push_back(TableOf(lines, false));
  if (all > most)
    content.blocks.push_back(Paragraph{QString("%1 more are in the annex: all that is known.").arg(all - most),
                                       Paragraph::Weight::kStrongLine});
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
    content.blocks.push_back(Heading{"All that is known, with pictures"});
    content.blocks.push_back(TableOf(lines, pictures));
  }
  const auto& reading = context.known.measured;
  for (const auto& flag : reading.flags) {
    content.blocks.emplace_back(
        ParagraphOf({Says::kLookHere,
                     {SentenceOf(PlainName(flag.kind)),
                      SentenceOf(SpanText(flag.start_deg, flag.end_deg, context.relative)), flag.text}}));
  }
}

}  // namespace app::report
