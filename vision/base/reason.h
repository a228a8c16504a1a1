#pragma once

#include <string>
#include <string_view>
#include <vector>

/// Why a number is absent: a code with what differs from case to case. Rooms say codes; sentences are made from them at
/// the edge, in English here and in other languages from the same sentences (app/report/wording_es.json).
namespace vision {

enum class ReasonCode {
  kNone,    ///< Nothing is absent.
  kAsSaid,  ///< %1 is the sentence itself: an older file's, or an error's.
  // A toe in the picture.
  kUnseen,
  kCovered,
  kToeNotInSight,
  kFarToeHidden,
  kToeNotSure,
  kFarToeOnFewLines,
  kToeOutsidePicture,
  kToeNotVisible,
  // Numbers across the root.
  kSingleView,
  kNotByTravel,
  kToesNotTogether,
  kUnderScale,
  kStepTooCoarse,      ///< %1 mm a pixel, the coarsest.
  kLessSureThanAsked,  ///< %1 mm asked for.
  kFewBareWall,
  kToesTooClose,
  kHeightGap,
  kStripeTorn,
  kStripeLost,
  kToeUnknown,
  kEdgeStillThere,
  kToeTooUnsureForTravel,
  kNoSectionExplains,
  kFramesDoNotTell,
  kNoHeightHere,
  kFewNearFrames,
  kStoppedTooFar,
  kTravelTooShort,
  kNoLineHasBothToes,
  kHardlySeen,
  kWallHardlyShared,
  kNotLitByRing,
  kFramesApart,
  // An edge of the insert.
  kPictureDoesNotTell,
  kEdgeBehindBead,
  kLineNotShown,  ///< %1 mm, the line.
  // Colour.
  kNoWhite,
  kNoWhiteHere,
  kWallBlownOut,
  kWallTooDark,
  kWallOutOfSight,
  // The whole reading.
  kNoFrame,
  kNoWeld,
  kNoDepthFromOneView,
  // Said by earlier versions alone.
  kNotByTravelEarlier,
  kFarToeClearOfWall,
};

/// One past the last.
constexpr int kReasonCodes = static_cast<int>(ReasonCode::kFarToeClearOfWall) + 1;

struct Reason {
  ReasonCode code = ReasonCode::kNone;
  std::vector<std::string> args = {};  ///< What stands at %1, %2 ...: numbers as written.

  bool empty() const { return code == ReasonCode::kNone; }
  auto operator<=>(const Reason&) const = default;
};

/// The English sentence of a code, with %1 to %9 for what differs. No capital, no full stop: it may stand in another.
std::string_view SentenceOf(ReasonCode code);

/// The English sentence, filled in.
std::string EnglishOf(const Reason& reason);

/// `sentence` with `args` at its %1 to %9.
std::string FilledIn(std::string_view sentence, const std::vector<std::string>& args);

/// The reason a sentence of a file says; kAsSaid with the sentence where no code has it; kNone for an empty one.
Reason ReasonFrom(const std::string& english);

}  // namespace vision
