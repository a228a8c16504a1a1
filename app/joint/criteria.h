#pragma once

#include <filesystem>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/result.h"

/// Acceptance criteria as data (`rootscroll.criteria/1`, schema app/joint/criteria.schema.json; sets in
/// app/joint/criteria). Every rule carries paragraph, measurement datum and how far its value can be trusted.
namespace app::joint {

/// A linear formula in mm: mm + t * wall + b * root bead width + s * nominal butt throat + cap * outside cap height.
struct Term {
  double mm = 0, t = 0, b = 0, s = 0, cap = 0;
};

/// A range of a size; bounds that are absent do not bind. t = 3.0 lies in {from 0.5, to 3}, not in {over 3}.
struct Range {
  std::optional<double> over, from, to, below;  ///< over < x, from <= x, x <= to, x < below; mm.
  bool Holds(double value_mm) const;
};

/// How much of the circumference may be over a lower limit ("short imperfections" and the like).
struct Allowance {
  std::vector<Term> over_least;     ///< What counts, the smallest applies; empty = every imperfection.
  std::optional<double> window_mm;  ///< Sliding window on the inside circumference; nullopt = all of it.
  std::optional<double> total_mm;   ///< Allowed in the window.
  std::optional<double> share;  ///< Of the circumference, where it is shorter than the window or there is no window.
};

/// One row of a rule: the first whose conditions hold applies.
struct LimitRow {
  std::optional<Range> t_mm, outside_diameter_mm;
  std::vector<std::string> material_contains;
  bool not_permitted = false, does_not_apply = false;
  std::vector<Term> least;           ///< The smallest is the limit.
  std::vector<Term> disputed_least;  ///< What another source says; between the two nothing is decided.
  std::optional<Allowance> allowance;
};

enum class Measures { kConcavity, kConvexity, kMisalignment, kWidth, kInsertFusion, kIndication, kNothing };
enum class HeightDatum { kChord, kEachSideLesser, kEachSideGreater, kNone };
enum class SizeOf { kDepth, kDiameter, kLength };
enum class Judged { kYes, kAnnotated, kNotMeasured };

/// Sum of the sizes of indications in a sliding window along the weld.
struct SumRule {
  double window_mm = 0, total_mm = 0, ignore_to_mm = 0;
};

/// One rule of a set; every limit with where it stands and how far it can be trusted.
struct Rule {
  std::string id, title, iso6520, paragraph, how_known;
  HeightDatum datum = HeightDatum::kNone;
  Measures measures = Measures::kNothing;
  Judged judged = Judged::kYes;
  std::string reason;              ///< Why annotated or not measured.
  std::vector<std::string> kinds;  ///< For kIndication.
  std::optional<SizeOf> size;
  std::optional<SumRule> sum;
  std::vector<LimitRow> limits;
};

struct CriteriaSet {
  std::string name, standard, edition, note;
  std::vector<Rule> rules;
};

/// What the formulas need; NaN = not known.
struct LimitInputs {
  double t_mm = std::numeric_limits<double>::quiet_NaN();   ///< Wall of the thinner piece.
  double od_mm = std::numeric_limits<double>::quiet_NaN();  ///< Outside diameter.
  double id_mm =
      std::numeric_limits<double>::quiet_NaN();  ///< Inside diameter: decides a diameter condition without od_mm.
  double s_mm = std::numeric_limits<double>::quiet_NaN();    ///< Nominal butt throat; the wall for full penetration.
  double cap_mm = std::numeric_limits<double>::quiet_NaN();  ///< Outside cap height.
  std::string material;
};

/// The row that applies, or why none does (one sentence part, such as "the wall is not in the joint file").
struct ChosenRow {
  const LimitRow* row = nullptr;
  vision::Reason why_none;
};
ChosenRow ChooseRow(const Rule& rule, const LimitInputs& inputs);

/// A limit in mm with what is known of it.
struct Limit {
  double value_mm = 0;             ///< Smallest formula.
  double low_mm = 0, high_mm = 0;  ///< Where sources disagree; both equal value_mm otherwise.
  double per_b = 0;                ///< Derivative by the bead width: carries the width's uncertainty into the limit's.
};

/// @param b_mm Root bead width at the place; NaN = not measured.
/// @return nullopt when a formula needs something that is NaN; `missing` then says what.
std::optional<Limit> Evaluate(const LimitRow& row, const LimitInputs& inputs, double b_mm,
                              vision::Reason* missing = nullptr);

/// Smallest of some formulas. Same contract as Evaluate.
std::optional<Limit> EvaluateLeast(const std::vector<Term>& least, const LimitInputs& inputs, double b_mm,
                                   vision::Reason* missing = nullptr);

/// Does any formula of the row use the bead width?
bool NeedsWidth(const LimitRow& row);

/// Names of the sets that ship with the program.
std::vector<std::string> ShippedCriteria();

/// @param text JSON; @param name How it is called in a message.
vision::Result<CriteriaSet> ReadCriteria(const std::string& text, const std::string& name);

/// A shipped set by name (upper and lower case alike), or the user's own file.
/// @param folder Paths are resolved against it (the joint file's folder).
vision::Result<CriteriaSet> LoadCriteria(const std::string& criterion, const std::filesystem::path& folder);

}  // namespace app::joint
