#include "app/report/compose.h"

namespace app::report {
namespace {

Print ShadeOf(const std::string& shade) {
  if (shade == "straw") return Print::kStraw;
  return shade == "blue_purple" ? Print::kBluePurple : Print::kGreyMatt;
}

}  // namespace

void AddTint(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.measured;
  content.blocks.push_back(Heading{Print::kHeatTint});
  if (!reading.tint) {
    content.blocks.push_back(Paragraph{{Print::kColourNotAssessed, {NotMeasurable(ReasonsFor(reading, "heat_tint"))}}});
    return;
  }
  const auto& tint = *reading.tint;
  const bool metal_too = vision::SentenceFrom(tint.against).code == Says::kWhiteAndMetal;
  const auto assessed = [](double deg) { return Text(Print::kDegrees, {Number(deg, 0)}); };
  content.blocks.push_back(Paragraph{{metal_too ? Print::kToldFromWhiteAndMetal : Print::kToldFromWhite,
                                      {assessed(tint.left_deg), assessed(tint.right_deg)}}});
  Table table;
  table.columns = {
      {Print::kSideColumn, 24}, {Print::kColourColumn, 24}, {Print::kWhereColumn, 28}, {Print::kReachColumn, 24}};
  for (const auto& run : tint.runs)
    table.rows.push_back({{SideText(context.input, run.side), {}, true},
                          {ShadeOf(run.shade)},
                          {SpanText(run.start_deg, run.end_deg, context.relative)},
                          {context.length.Measured(run.reach_mm, run.reach_u_mm)}});
  if (table.rows.empty())
    content.blocks.push_back(Paragraph{Print::kNoColour});
  else
    content.blocks.push_back(std::move(table));
  content.blocks.push_back(
      Paragraph{Joined(Says::kBesides, {Print::kOrderOfColours, Print::kTextureRejects}), Paragraph::Weight::kSmall});
}

}  // namespace app::report
