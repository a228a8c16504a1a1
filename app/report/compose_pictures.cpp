#include <algorithm>
#include <array>
#include <cmath>

#include "app/report/compose.h"
#include "app/report/figures.h"
#include "vision/bore/angle.h"

namespace app::report {

using vision::reading::Fusion;

void AddStrip(const ComposeContext& context, Content& content) {
  const auto& reading = context.input.reading;
  content.blocks.push_back(Heading{"Strip"});
  auto figures = StripFigures(context.input, context.pictures.strip, context.pictures.seen, context.text_width_mm);
  if (figures.empty()) {
    content.blocks.push_back(Paragraph{"No strip was written with this reading."});
    return;
  }
  QString text = "View: the wall seen from inside, laid flat; ";
  text += context.relative ? "degrees relative, growing to the right. "
                           : "clock and degrees looking along +z from piece a to piece b, 12 o'clock = " +
                                 Q(context.input.joint.datum.zero) + ". ";
  text +=
      "Piece a (" + Q(reading.piece_a) + ") at the top, piece b (" + Q(reading.piece_b) +
      ") at the bottom; z in mm at the left, arc at the bore wall in mm below, the same scale both ways. White lines "
      "with black edges: toes, broken where not measured. Dotted: not seen. Black bars with a number: original edge "
      "visible.";
  if (std::isfinite(reading.strip.resolution_mm)) {
    text += QString(" One pixel of the source covers %1 mm across the bead (median).")
                .arg(reading.strip.resolution_mm, 0, 'f', 2);
  }
  content.blocks.push_back(Paragraph{text, Paragraph::Weight::kSmall});
  for (auto& figure : figures) content.blocks.push_back(std::move(figure));
}

namespace {
constexpr std::size_t kSectors = 12;

/// Degrees of one state in each sector of 30 degrees.
std::array<double, kSectors> DegreesBySector(const std::vector<Fusion>& states, Fusion wanted) {
  std::array<double, kSectors> degrees{};
  for (std::size_t i = 0; i < states.size(); ++i) {
    if (states[i] == wanted) degrees[i * kSectors / states.size()] += 360.0 / static_cast<double>(states.size());
  }
  return degrees;
}

Table SectorTable(const ComposeContext& context) {
  const auto& profile = context.input.reading.profile;
  Table table;
  table.columns = {{context.relative ? "sector, degrees relative" : "sector, clock", 22},
                   {"a: fused", 12},
                   {"a: edge visible", 14},
                   {"a: not visible", 13},
                   {"b: fused", 12},
                   {"b: edge visible", 14},
                   {"b: not visible", 13}};
  std::vector<std::array<double, kSectors>> columns;
  for (const auto* states : {&profile.fusion_left, &profile.fusion_right}) {
    for (const Fusion state : {Fusion::kFused, Fusion::kUnfused, Fusion::kNotVisible}) {
      columns.push_back(DegreesBySector(*states, state));
    }
  }
  for (std::size_t sector = 0; sector < kSectors; ++sector) {
    const int from = static_cast<int>(sector);
    const auto hour = [](int h) { return QString::number(h % 12 == 0 ? 12 : h % 12); };
    const QString name = context.relative ? QString("%1° to %2°").arg(30 * from).arg(30 * from + 30)
                                          : hour(from) + " to " + hour(from + 1);
    std::vector<Cell> row{{name, {}, false}};
    for (std::size_t c = 0; c < columns.size(); ++c) {
      const double degrees = columns[c][sector];
      row.push_back(
          {degrees > 0 ? QString::number(degrees, 'f', 1) + "°" : QString("–"), {}, c % 3 == 1 && degrees > 0});
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}

void AddRuns(const ComposeContext& context, Content& content) {
  const auto& runs = context.input.reading.unfused;
  if (runs.empty()) {
    content.blocks.push_back(Paragraph{"No run with the original edge visible was found in what was seen."});
    return;
  }
  Table table;
  table.columns = {{"No.", 6},      {"where, clockwise", 28}, {"arc at the bore", 19},
                   {"edge at", 17}, {"confidence", 14},       {"picture", 26}};
  for (std::size_t i = 0; i < runs.size(); ++i) {
    const auto& run = runs[i];
    table.rows.push_back(
        {{QString::number(i + 1), {}, true},
         {SpanText(run.start_deg, run.end_deg, context.relative)},
         {context.length.Measured(run.arc_mm, run.arc_u_mm)},
         {SideText(context.input, run.side)},
         {std::isfinite(run.confidence) ? QString::number(run.confidence, 'f', 2) : QString("not stated")},
         {context.pictures.runs[i].isNull() ? QString("no picture written") : QString(), context.pictures.runs[i]}});
  }
  content.blocks.push_back(Paragraph{"Original edge of the insert visible", Paragraph::Weight::kStrong});
  content.blocks.push_back(std::move(table));
}
}  // namespace

void AddFusion(const ComposeContext& context, Content& content) {
  content.blocks.push_back(Heading{"Fusion of the insert"});
  Figure figure = EndViewFigure(context.input, context.text_width_mm);
  figure.text = "View: end of the pipe looking along +z, from piece a to piece b. " +
                (context.relative ? QString("Angles relative to the picture's up.")
                                  : "12 o'clock = " + Q(context.input.joint.datum.zero) + ".");
  content.blocks.push_back(std::move(figure));
  AddRuns(context, content);
  content.blocks.push_back(Paragraph{"Degrees of each state by sector", Paragraph::Weight::kStrong});
  content.blocks.push_back(SectorTable(context));
}

void AddWidth(const ComposeContext& context, Content& content) {
  const auto& width = context.input.reading.profile.width_mm;
  content.blocks.push_back(Heading{"Width of the root"});
  if (std::none_of(width.begin(), width.end(), [](double mm) { return std::isfinite(mm); })) {
    content.blocks.push_back(Paragraph{"Width: " + NotMeasurable(ReasonsFor(context.input.reading, "width_mm")) + "."});
    return;
  }
  Figure figure = RibbonFigure(context.input, context.options, context.text_width_mm);
  figure.text = "Line: width between the toes. Grey band: ± U, expanded uncertainty (k = 2). Dotted: not measured.";
  if (context.input.width_limit) {
    figure.text += " Dashed: the user's own limit, " + Q(context.input.width_limit->source) + ".";
  } else {
    figure.text += " No limit was given; no shipped standard limits the width of the root.";
  }
  content.blocks.push_back(std::move(figure));
}

}  // namespace app::report
