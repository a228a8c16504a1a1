#include <algorithm>
#include <array>
#include <cmath>

#include "app/report/compose.h"
#include "app/report/figures.h"
#include "vision/bore/angle.h"

namespace app::report {

void AddStrip(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.decided;
  content.blocks.push_back(Heading{"Strip, at least life size"});
  auto figures = StripFigures(context.known, context.pictures.strip, context.pictures.seen, context.text_width_mm);
  if (figures.empty()) {
    content.blocks.push_back(Paragraph{"No strip was written with this reading."});
    return;
  }
  QString text = "Signs as in the legend of page one.";
  if (std::isfinite(reading.strip.resolution_mm)) {
    text += QString(" One pixel of the source covers %1 mm across the bead (median).")
                .arg(reading.strip.resolution_mm, 0, 'f', 2);
  }
  content.blocks.push_back(Paragraph{text, Paragraph::Weight::kSmall});
  for (auto& figure : figures) content.blocks.push_back(std::move(figure));
}

namespace {
constexpr std::size_t kSectors = 12;

QString ShortName(known::Edge edge) {
  switch (edge) {
    case known::Edge::kFused:
      return "fused";
    case known::Edge::kUnfused:
      return "edge visible";
    case known::Edge::kNotVisible:
      return "not visible";
    case known::Edge::kOverruled:
      return "overruled";
    case known::Edge::kUnfusedByHand:
      return "edge seen by a person";
  }
  return {};
}

/// Degrees of one state in each sector of 30 degrees.
std::array<double, kSectors> DegreesBySector(const std::vector<known::Edge>& states, known::Edge wanted) {
  std::array<double, kSectors> degrees{};
  for (std::size_t i = 0; i < states.size(); ++i) {
    if (states[i] == wanted) degrees[i * kSectors / states.size()] += 360.0 / static_cast<double>(states.size());
  }
  return degrees;
}

/// Degrees of each state, as measured and with what people said of it.
Table SectorTable(const ComposeContext& context) {
  const auto& known = context.known;
  std::vector<known::Edge> states{known::Edge::kFused, known::Edge::kUnfused, known::Edge::kNotVisible};
  for (const auto state : {known::Edge::kOverruled, known::Edge::kUnfusedByHand})
    for (const auto* edges : {&known.edges_a, &known.edges_b})
      if (std::find(edges->begin(), edges->end(), state) != edges->end() &&
          std::find(states.begin(), states.end(), state) == states.end())
        states.push_back(state);
  Table table;
  table.fine = true;
  table.columns = {{context.relative ? "sector, degrees relative" : "sector, clock", 20}};
  std::vector<std::array<double, kSectors>> columns;
  for (const auto& [name, edges] : {std::pair{"a: ", &known.edges_a}, {"b: ", &known.edges_b}})
    for (const auto state : states) {
      table.columns.push_back({name + ShortName(state), 12});
      columns.push_back(DegreesBySector(*edges, state));
    }
  for (std::size_t sector = 0; sector < kSectors; ++sector) {
    const int from = static_cast<int>(sector);
    const auto hour = [](int h) { return QString::number(h % 12 == 0 ? 12 : h % 12); };
    const QString name = context.relative ? QString("%1° to %2°").arg(30 * from).arg(30 * from + 30)
                                          : hour(from) + " to " + hour(from + 1);
    std::vector<Cell> row{{name, {}, false}};
    for (std::size_t c = 0; c < columns.size(); ++c) {
      const double degrees = columns[c][sector];
      row.push_back({degrees > 0 ? QString::number(degrees, 'f', 1) + "°" : QString("–"),
                     {},
                     c % states.size() != 0 && degrees > 0});
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}
}  // namespace

void AddSectors(const ComposeContext& context, Content& content) {
  content.blocks.push_back(Heading{"Degrees of each state by sector"});
  content.blocks.push_back(SectorTable(context));
}

void AddRingsAndStrip(const ComposeContext& context, Content& content) {
  Figure rings = EndViewFigure(context.known, context.text_width_mm, context.page_one.rings_scale);
  rings.text = "View: end of the pipe looking along +z, from piece a to piece b. " +
               (context.relative ? QString("Angles relative to the picture's up.")
                                 : "12 o'clock = " + ZeroText(context.input.joint) + ".");
  content.blocks.push_back(std::move(rings));
  auto strip = StripOverview(context.known, context.pictures.strip, context.pictures.seen, context.text_width_mm);
  if (!strip) {
    content.blocks.push_back(Paragraph{"No strip was written with this reading."});
    return;
  }
  strip->text =
      "View: the wall seen from inside, laid flat, z and arc in mm to one scale; piece a at the top, piece b at the "
      "bottom.";
  content.blocks.push_back(std::move(*strip));
}

void AddWidth(const ComposeContext& context, Content& content) {
  const auto& width = context.known.decided.profile.width_mm;
  content.blocks.push_back(Heading{"Width of the root"});
  if (std::none_of(width.begin(), width.end(), [](double mm) { return std::isfinite(mm); })) {
    content.blocks.push_back(Paragraph{"Width: " + NotMeasurable(ReasonsFor(context.known.decided, "width_mm")) + "."});
    return;
  }
  Figure figure = RibbonFigure(context.known, context.input.width_limit, context.text_width_mm);
  figure.text =
      "Drawn line: width between the toes. Grey band: ± U, expanded uncertainty (k = 2). Dotted: not measured.";
  if (context.input.width_limit) {
    figure.text += "\nDash-dotted: the user's own limit, " + Q(context.input.width_limit->source) + ".";
  } else {
    figure.text += "\nNo limit was given; no shipped standard limits the width of the root.";
  }
  if (!context.known.toes.empty()) figure.text += "\nDashed bar below: rests on a toe set by hand.";
  content.blocks.push_back(std::move(figure));
}

}  // namespace app::report
