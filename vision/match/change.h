#pragma once

#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"
#include "vision/match/change_options.h"
#include "vision/match/ring.h"

/// What was done to a wall between two recordings: where its surface was ground away, from the pictures alone.
/// Camera, distance, light and exposure differ, so brightness and colour are compared after the light that both share
/// over a quarter of the ring is taken out, against the scatter of the same row elsewhere on the ring. A picture never
/// tells depth; `removed.h` does, where both recordings carry heights.
namespace vision::match {

/// Source: not noted, so taken as chosen; where a field says none.
struct ChangeOptions {
  double light_deg = 90;  ///< Over this arc the running median of after / before is light, not change; [30, 180].
  double min_score = 8;   ///< Mean squared deviation over 3 mm, in the row's own variances, that starts a pocket; > 1.
  double min_area_mm2 = 6;  ///< A smaller changed spot is a mark, not a pocket; > 0.
  /// A wall whose own drawing still correlates better than this was not removed; (0, 1]. No unit.
  double max_texture = 0.6;
  double resolution_mm = 0.3;  ///< Size of a source pixel on the wall, for the footprint's uncertainty; > 0.
  float spread = 6;            ///< A cell's mean squared deviation that still belongs to a changed spot.
  float mark = 12;             ///< A cell's mean squared deviation that makes a mark.
  double mark_area_mm2 = 0.8;  ///< Smaller ones are not spoken of.
  double most = 25;            ///< One cell's squared deviation counts no more than this.
  EvidenceOptions evidence;
  OutlineOptions outline;

  [[nodiscard]] Status Check() const;
};

/// A place on the wall, in the first recording's angles and z.
struct WallPlace {
  double theta_deg = 0, z_mm = 0;
};

/// Something that is seen at a place.
struct Spot {
  WallPlace place;
  double circ_mm = 0, axial_mm = 0;  ///< Extent.
  double area_mm2 = 0;
};

/// A ground pocket.
struct Pocket {
  WallPlace middle;                      ///< Of the extent.
  double circ_mm = 0, axial_mm = 0;      ///< Footprint: extent around (arc at the bore) and along z.
  double circ_u_mm = 0, axial_u_mm = 0;  ///< Standard uncertainty (k = 1): source pixels, registration, and how
                                         ///< far the outline was off in trials (mostly too short).
  double area_mm2 = 0;
  double score = 0;                ///< Mean squared deviation inside, in the wall's own variances.
  double texture = 0;              ///< Correlation of the wall's drawing before and after, inside.
  bool by_heights = false;         ///< Middle and extents come from heights (footprint.h), not from the outline.
  bool cut_off = false;            ///< It reaches what was not seen: larger than stated.
  std::vector<WallPlace> outline;  ///< Closed.
  std::vector<Spot> still_seen;    ///< What stands out from the ground finish inside.
};

struct Change {
  std::vector<Pocket> pockets;
  std::vector<Spot> marks;  ///< Changed spots outside the pockets: new marks, or dirt that came or went.
  double compared = 0;      ///< Share of the strip's cells seen in both.
  double usual_score = 0;   ///< 95th percentile over the strip; 1 is the scatter of one row.
};

/// @param before The first recording. @param laid The second laid on it (LaidOn); must be on the same grid.
/// @return kBadInput for different grids or options; kNotFound when less than a third was seen in both.
Result<Change> FindChange(const FlatPicture& before, const FlatPicture& laid, double registration_mm,
                          const ChangeOptions& options = {}, const JobContext& job = {});

/// What became of an indication. Words, not a judgement: what lies under the ground surface is not seen.
enum class Fate { kGone, kPartlyGone, kRemains, kNotExamined };

std::string NameOf(Fate fate);  ///< Gone | partly_gone | remains | not_examined

struct FateOf {
  Fate fate = Fate::kNotExamined;
  double gone_mm = 0, remains_mm = 0, unseen_mm = 0;  ///< Of its arc; a point counts as 1 mm.
  Sentence reason;
};

/// @param length_mm Its arc about the place; <= 1 is a point.
FateOf FateOfIndication(const Change& change, const FlatPicture& before, const FlatPicture& laid, WallPlace place,
                        double length_mm, const FateOptions& o = {});

/// Is the place inside a closed outline, at least `margin_mm` from it?
bool Inside(const Pocket& pocket, WallPlace place, double radius_mm, double margin_mm = 0);

}  // namespace vision::match
