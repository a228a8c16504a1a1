// Every sentence of a reading: its code and its English words, %1 to %9 for what differs. No `#pragma once`: included
// where a list of codes (vision/base/sentence.h) or of words (sentence.cpp) is made. No capital and no full stop where
// it may stand in another; the Spanish is in app/report/wording_es.json. SAYS(code, English)

SAYS(kNone, "")
SAYS(kAsSaid, "%1")

// A toe in the picture.
SAYS(kUnseen, "this part of the wall was not seen or was masked")
SAYS(kCovered, "covered: something stands before the wall here, or glare lies on it")
SAYS(kToeNotInSight, "the toe is not in sight")
SAYS(kFarToeHidden, "the far toe is hidden behind the root reinforcement, or does not stand out from the wall")
SAYS(kToeNotSure, "the toe is not sure here")
SAYS(kFarToeOnFewLines, "the far toe shows on too few lines to be told from other edges")
SAYS(kToeOutsidePicture, "the toe lies outside the picture")
SAYS(kToeNotVisible, "the toe is not visible here")

// Numbers across the root.
SAYS(kSingleView, "single view: height not measurable from this recording")
SAYS(kNotByTravel,
     "not earned by the camera's travel: its uncertainty did not hold under shop conditions; give a recording with a "
     "plane of light on")
SAYS(kToesNotTogether, "picture and surface do not tell both toes together here")
SAYS(kUnderScale, "wrinkled scale beside the bead hides where the bead ends")
SAYS(kStepTooCoarse,
     "the picture is too coarse to tell the step between the walls by the camera's travel (over %1 mm a pixel at the "
     "bead)")  // %1 mm a pixel, the coarsest.
SAYS(kLessSureThanAsked,
     "the expanded uncertainty (k = 2) here is not below the %1 mm that was asked for")  // %1 mm asked for.
SAYS(kFewBareWall, "too little bare wall was measured beside the weld here")
SAYS(kToesTooClose, "the toes lie too close together")
SAYS(kHeightGap, "no height was measured over part of the weld here")
SAYS(kStripeTorn, "the surface that was read is torn here: the stripe was lost on the bead")
SAYS(kStripeLost, "the stripe was lost over most of the bead, so what was read of it is not trusted")
SAYS(kToeUnknown, "a toe of the bead is not known here")
SAYS(kEdgeStillThere, "the insert's edge is still there, so there is no root reinforcement to speak of")
SAYS(kToeTooUnsureForTravel, "a toe is not known well enough here for a height by travel")
SAYS(kNoSectionExplains, "no section explains what the frames show here")
SAYS(kFramesDoNotTell, "the frames do not tell the height well enough here")
SAYS(kNoHeightHere, "no height was measured at this place")
SAYS(kFewNearFrames, "fewer than three frames stand near enough to the weld")
SAYS(kStoppedTooFar, "the camera stopped too far before the weld for heights by travel")
SAYS(kTravelTooShort, "the camera did not travel far enough near the weld")
SAYS(kNoLineHasBothToes, "no half-degree line has both its toes")
SAYS(kHardlySeen, "hardly anything of the weld is seen")
SAYS(kWallHardlyShared, "too little bare wall is shared by the frames of the run-in")
SAYS(kNotLitByRing, "the frames were not lit as lamps around the lens would light them")
SAYS(kFramesApart, "the frames do not lie on each other well enough for heights by travel")

// An edge of the insert.
SAYS(kPictureDoesNotTell, "the picture does not tell at this place (dark, blown out or too coarse)")
SAYS(kEdgeBehindBead, "this edge of the insert lies behind the bead in this view; look from the other side")
SAYS(kLineNotShown,
     "the recording could not show a line of %1 mm here (too coarse or too blurred), so this is not examined; go "
     "nearer or focus")  // %1 mm, the line.

// Colour.
SAYS(kNoWhite, "no white target in the same light, so no colour is judged")
SAYS(kNoWhiteHere, "no white target in the same light belongs to the recording that shows this place")
SAYS(kWallBlownOut, "the wall beside the toe is blown out here")
SAYS(kWallTooDark, "the wall beside the toe is too dark here to tell a colour")
SAYS(kWallOutOfSight, "the wall beside the toe is out of sight here")

// The whole reading.
SAYS(kNoFrame, "no frame of this recording can be measured")
SAYS(kNoWeld, "no weld found in this recording")
SAYS(kNoDepthFromOneView, "a single view cannot tell how deep an indication is")

// Said by earlier versions alone.
SAYS(kNotByTravelEarlier,
     "not earned by the camera's travel: on scenes with truth every way tried left more than 0.4 mm; give a recording "
     "with a plane of light on")
SAYS(kFarToeClearOfWall, "what is seen there stands clear of the wall: the far toe lies hidden behind it")

// What was searched for on the surface, and why not.
SAYS(kAToeNotVisible, "a toe is not visible")
SAYS(kNoToe, "the toe is not visible")
SAYS(kOutsideStrip, "outside the strip")
SAYS(kNotInPicture, "not in the picture")
SAYS(kBeadHidden, "glare or an original edge hides part of the bead")
SAYS(kRipplesAsLively, "the bead's own ripples are as lively as a pore")
SAYS(kEdgeStandsHere, "an original edge stands here")
SAYS(kWallBesideHidden, "the wall beside the toe is hidden by glare or out of the picture")
SAYS(kPictureTooCoarse, "the picture is too coarse here")
SAYS(kGrooveHidden, "the bead looks concave here, whose bright far side hides a groove")
SAYS(kGrooveFacesAway, "a groove at the near toe faces away from the camera: look from the other side")
SAYS(kCrackTooThin, "a crack is thinner than a picture element here and cannot be told from a ripple's shadow")
SAYS(kEdgeNotInSight, "the edge is not in sight here")

// Signs that a person should look at.
SAYS(kConcaveLook, "near side dark, far side bright: the look of a concave root. A sign to look, not a depth.")
SAYS(kHotA,
     "The piece a wall is purple, blue or hotter beside the toe. Look for wrinkled or crystalline scale there. A sign "
     "of the shielding, not an oxygen figure.")
SAYS(kHotB,
     "The piece b wall is purple, blue or hotter beside the toe. Look for wrinkled or crystalline scale there. A sign "
     "of the shielding, not an oxygen figure.")
SAYS(kLookHere, "Look here: %1, %2. %3")  // what, where, sentence
SAYS(kNote, "Note: %1")
SAYS(kToeByHand,
     "The toe on the %1 side was set by hand (%2, %3); the width there was computed anew.")  // piece, who, when
SAYS(kSeenAndAccepted, "Seen and accepted by %1, %2: %3.")                                   // who, when, kind

// What was done with the recordings.
SAYS(kOfFilm, "%1: %2")                         // file, sentence
SAYS(kOfStills, "Recording %1, %2 stills: %3")  // id, number, sentence
SAYS(kStillsTurned,
     "Recording %1: %2 stills ask to be turned (EXIF orientation %3); they were read as the sensor laid them down.")
SAYS(kFramesTaken, "%1 frames were taken between %2 and %3, %4 to %5 bore radii before the weld: near, lit and sharp.")
SAYS(kStill, "still %1")
SAYS(kNoWeldOnTheWay,
     "no weld was found on the way, so the sharpest frames of equal stretches of the video were taken.")
SAYS(kUndecoded, "%1 frames could not be decoded and were left out.")
SAYS(kDamaged, "%1 damaged frames were left out: %2.")
SAYS(kUndecodedAndDamaged, "%1 frames could not be decoded and were left out. %2 damaged frames were left out: %3.")
SAYS(kBurnedIn, "%1: text burned into the picture in %2 places covers what lies behind it.")
SAYS(kRefused, "%1 was refused: %2")           // file, sentence
SAYS(kShotRefused, "shot %1 was refused: %2")  // number, sentence
SAYS(kNotLaidOn, "%1 was left out: it could not be laid on %2: %3")
SAYS(kSecondLight, "recording %1 was left out: heights are read from one recording with a plane of light.")
SAYS(kNoHeights, "recording %1 gave no heights: %2")
SAYS(kNoHeightOffRelief, "no height was read off the relief: %1")
SAYS(kUpNotGiven,
     "The image's up was not given (up_theta_deg): angles are relative to the picture's up, not to the joint's datum.")
SAYS(kFirstFrameOnly, "Only the first usable frame was measured, since frames of unknown roll cannot be put together.")
SAYS(kLightLeftOut,
     "The recording with a plane of light was left out, since frames of unknown roll cannot be put together.")
SAYS(kCircle,
     "A circle runs round the bore %1 mm from the weld's middle in %2: the edge of a bored end or a turning mark, no "
     "toe.")
SAYS(kInterlaced,
     "%1 frames are interlaced (odd and even lines of two moments): every second line was filled from the two beside "
     "it, so they show half as much.")
SAYS(kMirrored,
     "%1 frames are mirror images, as the joint file or --mirrored says: they were turned back before measuring.")
SAYS(kOneByOne, "The frames of recording %1 were read one by one, not solved together: %2.")  // id, sentence
SAYS(kSolvedTogether,
     "The poses of %1 frames of recording %2 were solved together; the wall's drawing agrees to %3 px.")
SAYS(kHeadApart,
     "shot %1: the cameras put the head up to %2 mm and %3 degrees apart, more than they can err: check their places "
     "in rig. The surest camera alone was followed.")
SAYS(kBlurAssumed, "%1: too few edges to measure its sharpness; a blur of %2 px was assumed.")
SAYS(kNoRingOfLightIn, "%1 was left out: no ring of light stands out in it.")
SAYS(kWhiteCannotServe, "The white target of recording %1 cannot serve: %2")
SAYS(kBoreKnownTo, "Inside diameter %1 mm, known to +/- %2 mm (k = 2; %3): that is %4 % of every length on the strip.")

// Of the bore; mm, degrees.
SAYS(kBoreIsRound, "The bore is round as far as the run-in tells: its diameters differ by less than %1 mm.")
SAYS(kBoreIsOval,
     "The bore is oval: its diameters differ by %1 mm (expanded uncertainty %2 mm), the largest lies at %3 degrees.")

// Why frames are not laid on each other or not solved together.
SAYS(kWallsDoNotMatch, "the walls of the two pictures do not match.")
SAYS(kPatchesDisagree, "the walls of the two pictures do not match: %1 of %2 patches agree.")
SAYS(kDrawingOff, "the wall's drawing lies %1 px off on average")
SAYS(kPlacesDisagree, "only %1 % of the places followed agree")
SAYS(kOffsetUnsure, "the camera's offset stays uncertain by %1 mm (k = 2)")
SAYS(kNotAsAlone, "the poses solved together are not those that the frames show alone")
SAYS(kAskew,
     "by the poses solved the weld would stand %1 degrees askew, so the bore is not straight where they took it to be")
SAYS(kFewShared, "frame %1 of the run-in shares only %2 places of the wall with the others.")
SAYS(kPosesUnsettled, "the poses of the run-in do not settle together.")
SAYS(kPosesNotHeld, "the poses of the run-in are not held by what the frames share.")

// Why a picture is refused.
SAYS(kNoAxis, "not a view along a bore: no drawing lines and no rings agree about one axis.")
SAYS(kNotBrighterOutward, "not a view along a bore: the middle of the picture has no brightness that grows outward.")
SAYS(kNotDarkInTheMiddle,
     "not a view along a bore: the picture is not dark about one direction near its middle, as the far end of a pipe "
     "is.")
SAYS(kNotDarkAllRound, "not a view along a bore: the far end of a pipe is dark all round the axis; here it is not.")
SAYS(kUnevenRound,
     "not a view along a bore: at each angle from its axis a pipe is about equally bright all round; here it is not.")
SAYS(kNoRingStandsOut, "no weld found: no ring around the bore stands out from the wall.")
SAYS(kNoRingLikeAWeld, "no weld found: no ring around the bore rises and falls as a weld does.")
SAYS(kNothingStandsOut, "no weld found: nothing in the strip stands out from the wall all round.")
SAYS(kLooksSideways,
     "a camera that looks sideways shows neither the far end nor the whole ring; give its pose in the joint file.")
SAYS(kPlaceInDoubt,
     "the camera's place is in doubt: another place in the bore fits the picture nearly as well; give the mount, or "
     "set six points on a toe.")
SAYS(kNoCameraAlong, "no camera of the shot looks along the bore, so the head's place is not known")
SAYS(kNoRingOfToes, "the pose does not settle: the toe points do not lie on a ring around the bore.")
SAYS(kInTheWall, "the pose does not settle: the camera would stand in the wall.")
SAYS(kNoPlaceToTry, "no place in the bore was to be tried")

// Why a plane of light gives no heights.
SAYS(kStillsOnly, "a plane of light is read from still frames only; give this recording's frames as stills.")
SAYS(kLeansTooFar,
     "the camera leans by %1 degrees against the bore, more than the %2 up to which heights by light were found right; "
     "centre it and sweep again.")
SAYS(kRingOfLightLost,
     "the ring of light is lost in %1 frames in a row, after %2, so the camera's path across them is not known.")
SAYS(kFewRingsOfLight, "a ring of light was found in %1 of the frames; at least three are needed.")
SAYS(kWallNotFollowed, "the wall of %1 cannot be followed from the frame before it.")
SAYS(kLittleTexture,
     "too little of the surface texture can be followed through the frames (%1 places, at least 40 are needed).")
SAYS(kLittleBareWall,
     "the ring of light lies on bare wall in too few places (%1, at least 60 are needed); begin and end the run-in at "
     "least 8 mm from the weld.")
SAYS(kRingOffTheWall, "the ring of light lies %1 mm off the bare wall, so the camera's path is not trusted.")
SAYS(kPipesApart, "the two pipes come out %1 mm apart, so the camera's path is not trusted.")
SAYS(kPathUnsolved, "the poses of the run-in cannot be solved: %1")  // The solver's word.
SAYS(kFrameNotHeld, "the poses of the run-in cannot be solved: too little is seen in one of the frames to hold it.")

// Why a white target cannot serve.
SAYS(kBoxOutside, "box_px must lie inside the picture of %1 x %2 pixels and hold at least one.")
SAYS(kWhiteBlownOut, "the white target is blown out; take its picture darker.")
SAYS(kWhiteTooDark, "the white target is too dark (a channel's mean below %1 of 255); take its picture brighter.")
SAYS(kWhiteUneven, "what lies in box_px is not one evenly lit white surface; draw the box inside the target.")

// On what the calibration stands.
SAYS(kNotCalibrated, "not calibrated: %1.")
SAYS(kNoCalibration, "camera %1 names no calibration in the joint file")
SAYS(kNoScaleCheck, "camera %1 has no scale check in the bore before and after")
SAYS(kScaleOff, "the scale check of camera %1 is off by more than 2 %")
SAYS(kCalibratedOn, "%1 on %2 with %3")  // camera, date, target
SAYS(kCalibrated, "calibrated")
SAYS(kCalibratedAs, "calibrated: %1")
SAYS(kIndicative, "NOT CALIBRATED: results are indicative")
SAYS(kIndicativeSince, "NOT CALIBRATED: results are indicative: %1")
SAYS(kBoth, "%1; %2")

// How a place was found, what z and colours are told from.
SAYS(kFoundInPicture, "found in the picture")
SAYS(kSharedByHead, "shared by the cameras of the head")
SAYS(kPointsByPerson, "points given by a person")
SAYS(kGivenInFile, "given in the joint file")
SAYS(kSolvedWithOthers, "solved together with the other frames of the run-in")
SAYS(kSolvedWithAll, "solved with all frames of the run-in")
SAYS(kMeanOfToes, "mean of both toes")
SAYS(kWhiteAndMetal, "white and bare metal")
SAYS(kWhite, "white")
SAYS(kAPerson, "a person")

// What became of what was seen before a repair, and what a ground pocket does not tell.
SAYS(kGroundAway, "The surface that showed it was ground away, and nothing stands out from the ground finish there.")
SAYS(kPlaceNotSeenAgain,
     "Its place was not seen in the second recording: whether it is gone is not measurable from it.")
SAYS(kStillStandsOut, "Something still stands out in the pocket where it was.")
SAYS(kPartlyOutside, "Part of its length lies outside the pocket, where the surface was not removed.")
SAYS(kNotRemoved, "The surface there was not removed.")
SAYS(kLaterHardlySeen, "not measurable from the later recording: only %1 % of the pocket carries a height")
SAYS(kBothHardlySeen, "not measurable from the two recordings together: only %1 % of the pocket carries a height")
SAYS(kFewWallBesidePocket, "too little bare wall beside the pocket carries a height to measure from")
SAYS(kNoLaterHeights,
     "not measurable from this recording: the later recording has no heights; pictures tell where, not how deep")
SAYS(kNoEarlierHeights, "not measurable from these recordings: the earlier one has no heights")
SAYS(kFlankTooShort, "the flank on bare wall is shorter than %1 mm, or too little of it carries a height")
SAYS(kNoSlopeFromPictures,
     "not measurable from this recording: the later recording has no heights; pictures do not tell slopes")
SAYS(kToesBesidePocketUnknown, "the toes beside the pocket are not known, so that a flank is not told from the weld")
SAYS(kPocketTooShallow, "no place along the pocket's middle lies %1 mm or more below the wall")
SAYS(kAnotherRoll, "another roll fits the wall nearly as well")
SAYS(kFewPatchesAgree, "only %1 % of the wall's patches agree")
SAYS(kGapInTheWall, "over %1 degrees no patch of wall agrees")
SAYS(kPatchesScatter, "the patches scatter by more than the limit")
SAYS(kOtherJoint, "%1 was measured as joint %2, not %3; that both show one weld stands on their walls alone.")
SAYS(kFirstRelative, "Angles are relative: the first recording's up was not given.")
SAYS(kNothingToFollow,
     "The first reading lists no indication and no place was given: whether one is gone cannot be said.")

// What the judge says: marks of the whole verdict.
SAYS(kOverruledCount, "Places measured and overruled by a person: %1. The disposition rests on that.")
SAYS(kVerdictIndicative, "Not calibrated.")
SAYS(kVerdictIndicativeSince, "Not calibrated: %1")
SAYS(kAnglesRelative, "Angles are relative to the picture: its up direction was not given.")
SAYS(kAnotherReading,
     "The reading was changed after it was first judged: reading.json is not the one of which verdict.json spoke.")
SAYS(kNotesNewer,
     "The notes on the record are newer than this verdict: put them on again with `rootscroll book window-notes`.")
SAYS(kNoRuleJudged, "no rule of this set is judged here")
SAYS(kFromChord, "the line joining the two toes")
SAYS(kFromLesser, "each side's own wall, the lesser of the two")
SAYS(kFromGreater, "each side's own wall, the greater of the two")

// Why a rule is not judged.
SAYS(kDoesNotApply, "Does not apply to this wall and diameter.")
SAYS(kNotJudged, "Not judged: %1.")
SAYS(kNotMeasured, "Not measured: %1.")
SAYS(kNoWeldWasFound, "no weld was found")
SAYS(kNoWallThickness, "the wall thickness is not in the joint file")
SAYS(kNoOutsideDiameter, "the outside diameter is not in the joint file")
SAYS(kNoLimitHere, "the set has no limit for this wall and diameter")
SAYS(kNoWidthThere, "the width of the root bead is not measured there")
SAYS(kNoCapHeight, "the smallest height of the cap outside is not in the joint file")
SAYS(kHeightsNotMeasured, "heights were not measured: one view alone does not show them")
SAYS(kNoNumberThere, "the reading gives no number with an uncertainty there")

// Of the insert's edges; piece, degrees from and to, mm of arc, ...
SAYS(kEdgeVisible, "Original edge visible on the side of %1 from %2 to %3 degrees (%4 mm of arc), confidence %5.")
SAYS(kTooUncertain, "Too uncertain to decide: look at the picture.")
SAYS(kEdgeOverruled,
     "Measured: original edge visible on the side of %1 from %2 to %3 degrees (%4 mm of arc). Decided: overruled by "
     "%5, %6: %7. Not judged.")
SAYS(kEdgeNotVisible, "The insert's edge on the side of %1 is not visible over %2 of 360 degrees.")
SAYS(kEdgeNotVisibleSince, "The insert's edge on the side of %1 is not visible over %2 of 360 degrees: %3.")
SAYS(kEdgeSomewhere, "Original edge visible; the reading does not say where.")
SAYS(kEdgeFromTo, "Original edge visible from %1 to %2 degrees.")
SAYS(kNoEdgeVisible, "No original edge visible on either side, both edges in sight over 360 degrees.")
SAYS(kEveryEdgeOverruled,
     "Both edges in sight over 360 degrees; every place measured as original edge visible was overruled by a person.")

// Of coverage and search.
SAYS(kExamined, "Examined: %1 side %2, %3 side %4, whole zone %5 of 360 degrees.")
SAYS(kNotShownNotExamined, "What is not shown, not in focus or not lit is not examined, not acceptable.")
SAYS(kSearchedFor, "Searched for %1: %2.")                        // what, how far
SAYS(kSearchedInPart, "Searched for %1: %2; elsewhere not: %3.")  // what, how far, reason
SAYS(kAtToeA, "%1 (piece a toe)")
SAYS(kAtToeB, "%1 (piece b toe)")
SAYS(kOfTheRing, "%1 of 360 degrees")
SAYS(kOfTheRingDownTo, "%1 of 360 degrees, down to %2 %3 mm")
SAYS(kNotSaidSearched, "The reading does not say that it was searched for.")
SAYS(kNoneReported, "None reported, but the reading does not prove that none is there: not acceptable by this alone.")
SAYS(kNoneReportedAt,
     "None reported, but the reading does not prove that none is there (one picture element is about %1 mm): not "
     "acceptable by this alone.")
SAYS(kReported,
     "%1 reported (see there where not within); the reading does not prove that none is there: not acceptable by this "
     "alone.")
SAYS(kReportedAt,
     "%1 reported (see there where not within); the reading does not prove that none is there (one picture element is "
     "about %2 mm): not acceptable by this alone.")

// Of indications; %1 is the place.
SAYS(kAtDegrees, "at %1 degrees")
SAYS(kPlaceNotGiven, "(place not given)")
SAYS(kIndicationOverruled, "Measured %1. Decided: overruled by %2, %3: %4. Not judged.")
SAYS(kNotPermitted, "Seen %1, none is permitted; confidence %2.")
SAYS(kNotPermittedUncertain, "Seen %1, none is permitted; confidence %2: too uncertain to decide, look at the picture.")
SAYS(kSizeNotMeasured, "Seen %1; its %2 is not measured.")
SAYS(kLimitMissing, "Seen %1; %2.")
SAYS(kSeenOfSize, "Seen %1: %2 %3, at most %4 mm.")
SAYS(kConfidenceTooLow, "Confidence %1: too uncertain to decide, look at the picture.")
SAYS(kLengthTogether, "Length together in the worst window: %1, at most %2 mm.")
SAYS(kSumInWindow, "Sum in the worst %1 mm of weld: %2, at most %3 mm.")

// Of numbers round the ring.
SAYS(kWorstNonePermitted, "Worst at %1 degrees: %2, none is permitted.")
SAYS(kWorst, "Worst at %1 degrees: %2, at most %3 mm.")
SAYS(kWorstDisputed, "Worst at %1 degrees: %2, at most %3 mm (sources disagree: %4 to %5 mm).")
SAYS(kTooLong, "Too long: %1 mm %2, at most %3 mm.")
SAYS(kLengthNotDecided, "Length not decided: up to %1 mm %2, at most %3 mm.")
SAYS(kInWorstOfRing, "in the worst %1 mm of the inside circumference")
SAYS(kOfWholeRing, "of the inside circumference")
SAYS(kNotFit,
     "Not fit for this limit over %1 degrees: the expanded uncertainty, up to %2 mm, is more than a quarter of it (%3 "
     "mm).")
SAYS(kMeasuredInPart, "Measured over %1 of 360 degrees only: %2.")

// Sentences beside each other, for a record; no file holds them so.
SAYS(kBesides, "%1 %2")
SAYS(kBelow, "%1\n%2")
