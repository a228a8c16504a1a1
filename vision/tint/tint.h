#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/base/sentence.h"
#include "vision/tint/tint_options.h"
#include "vision/tint/white.h"
#include "vision/unroll/strip.h"

/// Heat tint on the wall beside the weld: which colour the oxide film shows and how far it reaches from the toe. The
/// order of the colours follows temperature, their temperature does not follow from them (composition, time, gas and
/// surface shift it), and no oxygen figure is ever given.
namespace vision::tint {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

/// In the order of heat, as on charts of austenitic stainless steel. Wrinkled or crystalline scale, the fifth, is a
/// texture and not a colour: surface::FindScale.
enum class Shade { kClean, kStraw, kBluePurple, kGreyMatt };

std::string NameOf(Shade shade);  ///< none | straw | blue_purple | grey_matt

/// Source: not noted, so taken as chosen; where a field says none.
struct TintOptions {
  /// Distance of a colour from bare metal, CIE 1976 a*b* at equal lightness, from which it is called a tint; in [2,
  /// 40].
  double least_chroma = 6;
  double reach_mm = 10;       ///< Looked at beyond each toe; in [2, 50].
  double bare_from_mm = 7;    ///< Beyond this the wall is taken as bare metal, where it is hardly coloured itself.
  double bare_chroma = 8;     ///< "Hardly coloured": common practice, no source. In [0, 20]. No unit.
  double band_mm = 0.5;       ///< Narrowest band of colour told; in [0.25, 5].
  double grey_band_mm = 1.0;  ///< Narrowest colourless band between toe and blue that is called grey; in [0.5, 5].
  int darkest = 24;           ///< Brightest channel below this (of 255): too dark to tell a colour. In [1, 200].
  int median_lines = 8;       ///< Lines each way over which shade and reach are settled: 4 degrees.
  double least_sight_mm = 3;  ///< Wall beside the toe that must be told for a line to be assessed.
  double gap_mm = 1.0;        ///< Untold or colourless wall that a band of colour runs on behind.
  double innermost_mm = 4.0;  ///< Within this from the toe the first band of colour starts.
  BinOptions bins;

  [[nodiscard]] Status Check() const;
};

/// One side of the weld over the 720 station lines.
struct Side {
  std::vector<std::optional<Shade>> shade;   ///< The hottest shade; none where not assessed.
  std::vector<double> reach_mm, reach_u_mm;  ///< Outer end of the colour, from the toe; 0 where clean, NaN where not.
  std::vector<Reason> why;                   ///< Where not assessed.
};

struct Tint {
  Side left, right;
  bool bare_seen = false;  ///< False: no bare metal in sight, colours are told against white alone.
};

/// @param left_toe_z_mm,right_toe_z_mm 720 lines, NaN where not visible. @param toe_u_mm Their standard uncertainty.
/// @param whites By source frame (Strip::source_frame); none where its recording shows no white target.
/// @return kBadInput when an option is out of range or the toes are not 720 lines; kCancelled.
Result<Tint> AssessTint(const unroll::Strip& strip, const std::vector<double>& left_toe_z_mm,
                        const std::vector<double>& right_toe_z_mm, double toe_u_mm,
                        const std::vector<std::optional<White>>& whites, const TintOptions& options,
                        const JobContext& job = {});

/// What a colour is called. @param a,b Distance from bare metal in CIE 1976 a*, b* at equal lightness.
Shade ShadeOf(double a, double b, double least_chroma);

/// a*, b* of a linear, white-balanced colour brought to one lightness, so that exposure and shading do not count.
cv::Vec2d ChromaOf(const cv::Vec3d& linear_bgr);

}  // namespace vision::tint
