#pragma once

#include "vision/bead/toes.h"
#include "vision/evidence/evidence.h"

/// What the fitted reader saw on a strip, as toes: what is likely enough is stated, with an uncertainty that
/// holds what the look leaves open and what geometry adds.
namespace vision::reading {

/// Source: not noted, so taken as chosen; where a field says none.
struct StatingOptions {
  evidence::Trust trust = evidence::TheTrust();
  /// A near toe less sure than this is not stated, mm; > 0. Chosen on 50 drawn recordings at disturbed poses
  /// (make_field --first 5000).
  double coarsest_u_mm = 0.6;
  /// Nor a far one less sure than this, mm; > 0. With hidden_far_mm and the far level of the trust chosen on 60 drawn
  /// recordings at disturbed poses (make_field --first 220001 --recording four, --first 230001 --recording look;
  /// DEVELOPERS.md, how the strip is read).
  double coarsest_far_u_mm = 0.8;
  /// A far toe that is hidden after all is another edge, so far off in the middle: its chance times this goes into u,
  /// mm; >= 0. Chosen as above.
  double hidden_far_mm = 1.0;
  /// Where the far toe shows on a smaller share of the lines with a near toe none is stated all round: there what was
  /// stated lay inside 2u on 0 to 100 % of the lines, above it on 92 % and more. In [0, 1]; chosen as above.
  double least_far_share = 0.3;
  /// Share of the lines in the picture on which the near toe must be stated for a weld to be found; in (0, 1].
  double least_share = 0.25;

  /// First broken constraint, naming the field.
  [[nodiscard]] Status Check() const;
};

/// Is there picture where a toe of this station line could lie: within 2 mm of z = 0 at least?
bool InPicture(const unroll::Strip& strip, int line);

/// @return kNotFound "no weld found ..." where too few lines show a near toe.
Result<bead::BeadToes> ToesFrom(const evidence::StripEvidence& said, const unroll::Strip& strip,
                                const bead::ToeOptions& geometry, const StatingOptions& options = {});

}  // namespace vision::reading
