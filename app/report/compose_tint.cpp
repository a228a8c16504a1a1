#include <cmath>

#include "app/report/compose.h"

namespace app::report {
namespace {

QString ShadeText(const std::string& shade) {
  if (shade == "straw") return "straw to brown";
  if (shade == "blue_purple") return "purple to blue";
  return "grey between toe and blue";
}

QString Assessed(double degrees) { return QString::number(degrees, 'f', 0) + "° of 360°"; }

}  // namespace

void AddTint(const ComposeContext& context, Content& content) {
  const auto& reading = context.known.measured;
  content.blocks.push_back(Heading{"Heat tint beside the weld"});
  if (!reading.tint) {
    content.blocks.push_back(
        Paragraph{"Colour not assessed: " + NotMeasurable(ReasonsFor(reading, "heat_tint")) + "."});
    return;
  }
  const auto& tint = *reading.tint;
  content.blocks.push_back(Paragraph{"Told from " + Q(tint.against) + ". Assessed: piece a " + Assessed(tint.left_deg) +
                                     ", piece b " + Assessed(tint.right_deg) + "."});
  Table table;
  table.columns = {{"side", 24}, {"colour", 24}, {"where", 28}, {"reach from the toe, at most", 24}};
  for (const auto& run : tint.runs)
    table.rows.push_back({{SideText(context.input, run.side), {}, true},
                          {ShadeText(run.shade)},
                          {SpanText(run.start_deg, run.end_deg, context.relative)},
                          {context.length.Measured(run.reach_mm, run.reach_u_mm)}});
  if (table.rows.empty())
    content.blocks.push_back(Paragraph{"No colour told from bare metal where it was assessed."});
  else
    content.blocks.push_back(std::move(table));
  content.blocks.push_back(
      Paragraph{"The order of the colours follows heat; no temperature and no oxygen figure follows from them. What "
                "rejects is a texture, wrinkled or crystalline scale, and that is for the examiner to look for.",
                Paragraph::Weight::kSmall});
}

}  // namespace app::report
