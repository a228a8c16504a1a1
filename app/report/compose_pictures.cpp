#include <algorithm>
#include <array>
#include <cmath>

#include "app/report/compose.h"
#include "app/report/figures.h"
#include "vision/bore/angle.h"

namespace app::report {

void AddStrip(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.decided;
  content.blocks.push_back(Heading{Print::kStripLifeSize});
  auto figures = StripFigures(context.known, context.pictures.strip, context.pictures.seen, context.text_width_mm);
  if (figures.empty()) {
    content.blocks.push_back(Paragraph{Print::kNoStrip});
    return;
  }
  const double pixel_mm = reading.strip.resolution_mm;
  content.blocks.push_back(Paragraph{
      Joined(Says::kBesides, {Print::kSignsAsInLegend,
                              std::isfinite(pixel_mm) ? Text(Print::kOnePixel, {Number(pixel_mm, 2)}) : Text()}),
      Paragraph::Weight::kSmall});
  for (auto& figure : figures) content.blocks.push_back(std::move(figure));
}

namespace {
constexpr std::size_t kSectors = 12;

Text ShortName(known::Edge edge) {
  switch (edge) {
    case known::Edge::kFused:
      return Print::kFusedShort;
    case known::Edge::kUnfused:
      return Print::kEdgeVisibleShort;
    case known::Edge::kNotVisible:
      return Print::kNotVisibleShort;
    case known::Edge::kOverruled:
      return Print::kOverruledShort;
    case known::Edge::kUnfusedByHand:
      return Print::kEdgeSeenShort;
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
  table.columns = {{context.relative ? Print::kSectorRelative : Print::kSectorClock, 20}};
  std::vector<std::array<double, kSectors>> columns;
  for (const auto& [name, edges] : {std::pair{Print::kA, &known.edges_a}, {Print::kB, &known.edges_b}})
    for (const auto state : states) {
      table.columns.push_back({{name, {ShortName(state)}}, 12});
      columns.push_back(DegreesBySector(*edges, state));
    }
  for (std::size_t sector = 0; sector < kSectors; ++sector) {
    const int from = static_cast<int>(sector);
    const auto end = [&](int i) {
      return context.relative ? Text(Print::kDegrees, {Typed(30 * i)}) : Typed(i % 12 == 0 ? 12 : i % 12);
    };
    std::vector<Cell> row{{{Print::kFromTo, {end(from), end(from + 1)}}}};
    for (std::size_t c = 0; c < columns.size(); ++c) {
      const double degrees = columns[c][sector];
      row.push_back({degrees > 0 ? Text(Print::kDegrees, {Number(degrees, 1)}) : Typed("–"),
                     {},
                     c % states.size() != 0 && degrees > 0});
    }
    table.rows.push_back(std::move(row));
  }
  return table;
}
}  // namespace

void AddSectors(const ComposeContext& context, Content& content) {
  content.blocks.push_back(Heading{Print::kDegreesBySector});
  content.blocks.push_back(SectorTable(context));
}

void AddRingsAndStrip(const ComposeContext& context, Content& content) {
  Figure rings = EndViewFigure(context.known, context.text_width_mm, context.page_one.rings_scale);
  rings.text =
      context.relative ? Text(Print::kEndViewRelative) : Text(Print::kEndView, {ZeroText(context.input.joint)});
  content.blocks.push_back(std::move(rings));
  auto strip = StripOverview(context.known, context.pictures.strip, context.pictures.seen, context.text_width_mm);
  if (!strip) {
    content.blocks.push_back(Paragraph{Print::kNoStrip});
    return;
  }
  strip->text = Print::kStripView;
  content.blocks.push_back(std::move(*strip));
}

void AddWidth(const ComposeContext& context, Content& content) {
  const auto& width = context.known.decided.profile.width_mm;
  content.blocks.push_back(Heading{Print::kWidthOfRoot});
  if (std::none_of(width.begin(), width.end(), [](double mm) { return std::isfinite(mm); })) {
    content.blocks.push_back(
        Paragraph{{Print::kNoWidth, {NotMeasurable(ReasonsFor(context.known.decided, "width_mm"))}}});
    return;
  }
  Figure figure = RibbonFigure(context.known, context.input.width_limit, context.text_width_mm);
  const auto& limit = context.input.width_limit;
  figure.text =
      Joined(Says::kBelow,
             {Print::kRibbonLegend, limit ? Text(Print::kOwnLimit, {Typed(limit->source)}) : Text(Print::kNoLimitGiven),
              context.known.toes.empty() ? Text() : Text(Print::kBarByHand)});
  content.blocks.push_back(std::move(figure));
}

}  // namespace app::report
