#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

/// What each colour and pattern means: one table for the window and for paper. A meaning has one colour and one pattern
/// everywhere, and no colour has two meanings. On paper, which may be printed grey, the pattern alone tells; the test
/// looks at every pair through the three kinds of colour blindness.
namespace app::marks {

enum class Means {
  kUnfused,        ///< Original edge of the insert visible, as measured.
  kUnfusedByHand,  ///< Original edge that a person saw and accepted, where none was measured.
  kOverruled,      ///< Measured as original edge visible, overruled by a person.
  kFused,          ///< Original edge no longer seen. The quietest of all.
  kNotVisible,     ///< Not examined.
  kToe,            ///< As measured.
  kToeByHand,
  kValue,        ///< A measured number along the joint: width, crown, concavity, misalignment.
  kUncertainty,  ///< The band of +-U (k = 2) around it.
  kLimit,        ///< Of the criterion.
  kChord,        ///< The line between the two toes in the section.
  kIndication,   ///< Measured on the surface.
  kNote,         ///< What a person drew.
  kMarkedPlace,  ///< A place known before or while welding (tack, tie-in).
  kStop,         ///< Where welding stopped.
  kFlag,         ///< A sign to look at; never a number.
  kAtWeld,       ///< Timeline: the camera is at a weld.
  kWelding,      ///< Timeline: the arc burns.
  kLaterBrighter,
  kLaterDarker,  ///< Difference of two recordings.
  kChance,       ///< That the original edge is still there, as the fitted reader saw it.
  kSeenLive,     ///< Live: this part of the ring was seen.
};

/// How it is drawn, told apart without colour. Fills, then lines, then outlines round a place.
enum class Pattern {
  kPlain,
  kSlanted,
  kUpright,
  kCrossed,
  kDots,
  kDiamonds,
  kLevel,
  kSolidLine,
  kDashedLine,
  kDottedLine,
  kDashDotLine,
  kDashDotDotLine,
  kCircle,
  kSquare,
  kTriangle,
};

/// Where a mark may be met, for the legend of that place.
enum Where : unsigned {
  kOnStrip = 1,
  kOnEndView = 2,
  kOnProfile = 4,
  kOnSection = 8,
  kOnTimeline = 16,
  kOnCompare = 32,
  kOnLive = 64,
  kOnPaper = 128,
};

struct Rgb {
  std::uint8_t r = 0, g = 0, b = 0;
  bool operator==(const Rgb&) const = default;
};

struct Mark {
  Means means;
  Rgb colour;
  Pattern pattern;
  std::string_view words;  ///< English, for the legend; the window and the record have it in their language.
  unsigned where = 0;      ///< Of Where.
};

/// All, in the order of a legend.
const std::vector<Mark>& Marks();
const Mark& MarkOf(Means means);
/// Those of one place, in the order of a legend.
std::vector<Mark> LegendOf(Where where);

}  // namespace app::marks
