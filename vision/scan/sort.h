#pragma once

#include <string>
#include <vector>

#include "vision/recording/frame_stream.h"
#include "vision/scan/frame_look.h"

/// Frames looked at become stretches, stretches become welds and the best stretch to measure each by.
namespace vision::scan {

enum class Shows {
  kTravelling,  ///< The bore, no weld in sight or too far to be told.
  kAtWeld,
  kWelding,  ///< The arc is on.
  kDark,     ///< Lights off.
  kBlurred,
  kNotABore,  ///< Light, yet no view along a bore.
  kDamaged,   ///< No frame that can be trusted.
};

/// @return travelling | at a weld | welding | lights off | blurred | not a view along a bore | damaged
std::string NameOf(Shows shows);

/// Source: not noted, so taken as chosen; where a field says none.
struct SortOptions {
  CueOptions cue;
  double dark_below = 0.06;    ///< 99th percentile of grey, share of full scale; in (0, 1).
  double arc_spot = 4;         ///< Brightest place over the median; > 1.
  double arc_one_sided = 1.6;  ///< Light on the arc's side over the other side's; > 1.
  double arc_peak = 0.15;  ///< Or a small arc in a dark picture: its brightest place, share of full scale; in (0, 1].
  double arc_over_rest = 1.8;   ///< That place over what 99 % of the picture stay below; > 1.
  double arc_dark = 0.2;        ///< Median of the whole picture at the most, share of full scale; in (0, 1).
  double arc_off_middle = 0.2;  ///< From the picture's middle (daylight at the far end is no arc), as a share of half
                                ///< its smaller side; >= 0.
  double blurred_above_px = 0;  ///< Blur, px of the full picture; 0 = `blurred_times` the recording's own usual blur.
  double blurred_times = 1.8;   ///< > 1.
  double adjoining_s = 60;      ///< Dark, blurred or damaged stretches beside a look and no longer belong to it; >= 0.
  double settle_s = 1.0;        ///< A stretch shorter than this belongs to its neighbours; damage excepted; >= 0.
  double same_weld_s = 4.0;     ///< Looks at a weld less than this apart, with no other weld between, are one; >= 0.
  double shortest_s = 1.0;      ///< Of a stretch to measure by; > 0.
  double longest_s = 6.0;       ///< Of a stretch proposed; > shortest_s.
  /// Share at full scale of the weld and the wall beside it, of the lit part where that is not known; in (0, 1].
  double most_glare = 0.05;
  double farthest_radii = 2.0;  ///< From the camera to the weld, with a calibrated camera; > 0.
  double nearest_radii = 0.3;   ///< Nearer the weld leaves the picture; in [0, farthest_radii).
  double touch_s = 0.5;         ///< Stretches less apart touch; in [0, 60]. Chosen.

  [[nodiscard]] Status Check() const;
};

/// Is an arc seen? Either it lights one side of the picture, or it is a lonely place far brighter than a picture that
/// was made dark for it. Says the same whether the arc is blown out or not.
bool ArcOn(const FrameLook& look, const SortOptions& options);

struct Stretch {
  double from_s = 0, to_s = 0;
  Shows shows = Shows::kTravelling;
  std::string note;  ///< For people; damage says what.
};

/// Why a part of a look at a weld is not proposed.
enum class NotProposed {
  kUsable,  ///< It is: nothing speaks against it.
  kDamaged,
  kDark,
  kArcOn,
  kBlurred,
  kNoWeld,
  kGlareOnWeld,  ///< Over more than so many percent.
  kGlareOnWall,  ///< The same.
  kTooFar,       ///< More than so many bore radii from the weld.
  kTooNear,      ///< Less than so many.
  kTooShort,     ///< Than so many s.
  kOtherBetter,  ///< Less sharp or farther than the one proposed.
};

struct WhyNotProposed {
  NotProposed code = NotProposed::kUsable;
  double limit = 0;  ///< What the code names: percent, bore radii or s.
  bool operator==(const WhyNotProposed&) const = default;
};

/// In English, as it stands in scan.json.
std::string SentenceOf(const WhyNotProposed& why);

/// A part of a look at a weld that is not proposed, and why.
struct Refused {
  double from_s = 0, to_s = 0;
  WhyNotProposed why;
};

struct WeldFound {
  double from_s = 0, to_s = 0;
  bool proposed = false;
  double best_from_s = 0, best_to_s = 0;  ///< The stretch to measure by.
  long best_first_index = 0, best_last_index = 0, sharpest_index = 0;
  double sharpest_s = 0, blur_px = 0, glare = 0, distance_radii = 0;
  bool arc_seen = false;  ///< Welding was seen during this look.
  std::vector<Refused> refused;
};

struct Sorted {
  std::vector<Stretch> stretches;  ///< From the start to the end, none overlapping.
  std::vector<WeldFound> welds;
  double usual_blur_px = 0;  ///< Lower quartile over frames in light.
  double blurred_above_px = 0;
};

/// @param looks In order of time. @param damage As the stream tells. @param reduce How much smaller the pictures
/// looked at were than the recording's. @param calibrated Do the distances hold?
Sorted Sort(const std::vector<FrameLook>& looks, const std::vector<recording::Damage>& damage, double reduce,
            bool calibrated, const SortOptions& options);

}  // namespace vision::scan
