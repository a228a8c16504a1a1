#include "app/marks/marks.h"

#include <algorithm>

namespace app::marks {

const std::vector<Mark>& Marks() {
  constexpr unsigned kEdges = kOnStrip | kOnEndView | kOnPaper;
  static const std::vector<Mark> marks{
      {Means::kUnfused, {0xD5, 0x5E, 0x00}, Pattern::kSlanted, "original edge visible (unfused), as measured", kEdges},
      {Means::kUnfusedByHand,
       {0x7A, 0x1F, 0x12},
       Pattern::kUpright,
       "original edge seen and accepted by a person, not measured",
       kEdges},
      {Means::kOverruled,
       {0x6A, 0x3F, 0xB5},
       Pattern::kCrossed,
       "measured as original edge visible, overruled by a person",
       kEdges},
      {Means::kNotVisible, {0x3C, 0x3C, 0x3C}, Pattern::kDots, "not visible: not examined", kEdges | kOnLive},
      {Means::kFused, {0x9D, 0xC3, 0xDA}, Pattern::kPlain, "fused: original edge no longer seen", kEdges},
      {Means::kToe, {0xF0, 0xE4, 0x42}, Pattern::kSolidLine, "toe, as measured", kOnStrip | kOnPaper | kOnLive},
      {Means::kToeByHand,
       {0x33, 0xE6, 0xC8},
       Pattern::kDashedLine,
       "toe, set by hand",
       kOnStrip | kOnProfile | kOnPaper},
      {Means::kIndication, {0xE6, 0x9F, 0x00}, Pattern::kCircle, "indication, as measured", kOnStrip | kOnPaper},
      {Means::kNote, {0xCC, 0x79, 0xA7}, Pattern::kSquare, "drawn by a person", kOnStrip | kOnPaper},
      {Means::kMarkedPlace,
       {0x00, 0x9E, 0x73},
       Pattern::kDottedLine,
       "place marked before or while welding",
       kOnStrip | kOnPaper},
      {Means::kStop, {0x5C, 0xB8, 0x00}, Pattern::kDashDotDotLine, "welding stopped here", kOnStrip},
      {Means::kFlag, {0xB3, 0x8C, 0xFF}, Pattern::kTriangle, "look here: a sign, no number", kOnStrip},
      {Means::kValue, {0x00, 0x72, 0xB2}, Pattern::kSolidLine, "measured value", kOnProfile | kOnPaper},
      {Means::kUncertainty,
       {0xD8, 0xCC, 0x8F},
       Pattern::kPlain,
       "± U, expanded uncertainty (k = 2)",
       kOnProfile | kOnSection | kOnPaper},
      {Means::kLimit, {0xC0, 0x00, 0x3C}, Pattern::kDashDotLine, "limit of the criterion", kOnProfile | kOnPaper},
      {Means::kChord, {0x8B, 0x5A, 0x2B}, Pattern::kDottedLine, "line joining the two toes", kOnSection},
      {Means::kAtWeld, {0x00, 0x68, 0x6E}, Pattern::kPlain, "at a weld", kOnTimeline},
      {Means::kWelding, {0xE0, 0x40, 0x9A}, Pattern::kDiamonds, "welding: the arc burns", kOnTimeline},
      {Means::kLaterBrighter,
       {0xFF, 0x7A, 0x59},
       Pattern::kPlain,
       "brighter, or higher, in the later recording",
       kOnCompare},
      {Means::kLaterDarker,
       {0x1F, 0x3A, 0x7A},
       Pattern::kPlain,
       "darker, or lower (gone), in the later recording",
       kOnCompare},
      {Means::kChance,
       {0xFF, 0xFF, 0xFF},
       Pattern::kDashDotLine,
       "how likely the original edge is still there, as the program saw it",
       kOnStrip},
      {Means::kSeenLive, {0xA6, 0xD9, 0x6A}, Pattern::kLevel, "seen by the camera so far", kOnLive},
  };
  return marks;
}

const Mark& MarkOf(Means means) {
  return *std::find_if(Marks().begin(), Marks().end(), [&](const Mark& mark) { return mark.means == means; });
}

std::vector<Mark> LegendOf(Where where) {
  std::vector<Mark> some;
  std::copy_if(Marks().begin(), Marks().end(), std::back_inserter(some),
               [&](const Mark& mark) { return (mark.where & where) != 0; });
  return some;
}

}  // namespace app::marks
