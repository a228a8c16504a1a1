#pragma once

#include <string>
#include <vector>

#include "vision/base/result.h"
#include "vision/study/gauge.h"

/// Readings of one joint taken again and again: how far they agree, station line by station line.
namespace vision::study {

/// One quantity of one reading: a value for each of n equal steps around the bore, NaN where it was not measured.
struct Trace {
  std::vector<double> value, u;  ///< u: what the reading itself says, standard (k = 1).
};

/// One reading as this room needs it.
struct RepeatedReading {
  std::string name, operator_name;
  bool relative_angles = false;  ///< Theta 0 is the picture's up, not the joint's datum.
  std::vector<std::string> quantities;
  std::vector<Trace> traces;  ///< One for each of `quantities`, in the same order in every reading.
};

/// Source: not noted, so taken as chosen; where a field says none.
struct RepeatOptions {
  double align_within_deg = 10;  ///< Search for the angle between readings that share a datum; in [0, 180].
  double least_likeness = 0.5;   ///< Correlation that an alignment of relative angles must reach; in (0, 1).
  int parts = 24;  ///< Station lines, equally spaced, that stand as the parts of a gauge study; in [2, 360].

  [[nodiscard]] Status Check() const;
};

/// Where a reading lies beside the first.
struct Alignment {
  double shift_deg = 0;  ///< Theta of this reading minus the first's, in [-180, 180).
  double likeness = 0;   ///< Correlation of the shapes at that shift.
  bool used = false;     ///< false: too little shape to align by; the shift is 0.
};

/// How far the readings of one quantity agree.
struct Repeatability {
  std::string quantity;
  std::vector<double> s;           ///< Standard deviation at each line, within operators; NaN below 2 readings.
  std::vector<double> mean;        ///< Mean at each line; NaN where no reading has it.
  int lines = 0;                   ///< Lines with a standard deviation.
  double pooled = 0;               ///< Root mean square of s, each line by its degrees of freedom.
  double median = 0, p95 = 0;      ///< Of s over the lines.
  double stated_u = 0;             ///< Median of what the readings themselves state (k = 1); NaN when they do not.
  std::vector<std::string> notes;  ///< Why there is no gauge study, which lines were left out.
  std::vector<GaugeStudy> study;   ///< One, or none.

  /// k = 2: twice the gauge's spread (operators included where there are several) or twice the readings' own u,
  /// whichever is larger: repeating does not show what all readings have in common (bore, lens).
  double Expanded() const;
};

struct RepeatReport {
  std::vector<Alignment> alignments;  ///< One a reading; the first is zero.
  std::vector<Repeatability> quantities;
};

/// @return kBadInput when there are fewer than 2 readings, their arrays differ in length or quantities, or readings of
/// relative angles cannot be laid on the first.
Result<RepeatReport> StudyRepeats(std::vector<RepeatedReading> readings, const RepeatOptions& options = {});

}  // namespace vision::study
