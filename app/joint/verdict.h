#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/joint/cautions.h"
#include "app/joint/criteria.h"
#include "app/joint/joint.h"
#include "vision/reading/reading.h"

/// What the criteria say about a reading: a pure function over a snapshot. Supports, and never replaces, the qualified
/// examiner.
namespace app::joint {

/// kUndecided: the limit lies inside the expanded uncertainty (k = 2). kAnnotated: shown, never judged here.
/// kOverruled: measured, and a person says that it is not so; shown with name and reason, and not judged.
enum class Outcome { kWithin, kBeyond, kUndecided, kNotMeasured, kAnnotated, kOverruled };

/// As people read it: within limit, exceeds limit, shown, not evaluated, ...
std::string WordsOf(Outcome outcome);

std::string NameOf(Outcome outcome);  ///< within | beyond | undecided | not measured | annotated | overruled

/// Something measured that a person overruled.
struct Overruled {
  enum class Of { kRun, kIndication };
  Of of = Of::kRun;
  std::size_t index = 0;      ///< In reading.unfused or reading.indications.
  std::string by, when, why;  ///< Name, ISO 8601, reason as typed.
};

/// One rule applied to one reading.
struct Finding {
  std::string rule_id;    ///< Stable within its set, e.g. "root-concavity".
  std::string title;      ///< For people.
  std::string iso6520;    ///< Empty where none.
  std::string paragraph;  ///< In the named standard and edition.
  std::string how_known;  ///< "from a digest, check against your document" where it applies.
  std::string datum;      ///< What the measurement is taken from.
  Outcome outcome = Outcome::kNotMeasured;
  std::vector<vision::Sentence> reason;   ///< Which number against which limit, or why not measured.
  std::optional<double> theta_deg, z_mm;  ///< Worst place.
  std::optional<double> end_theta_deg;    ///< Where it is an arc.
  std::optional<double> value_mm, u_mm, limit_mm;
  std::string Fingerprint() const;  ///< rule + rounded place, no measured value.
};

struct Verdict {
  std::string criterion, standard, edition;
  std::vector<Finding> findings;  ///< In the order of the set's rules.
  std::string disposition;        ///< "proposed: within", "proposed: not accepted", "proposed: not decided"
  std::string decided_by;         ///< Title of the rule that decided.
  int exit_code = 3;              ///< 0 all within (annotated rules aside, at least one judged), 1 beyond, 3 otherwise.
  double k = 2.0;                 ///< Coverage factor the outcomes were decided with.
  std::string reading_sha256;     ///< Of the reading.json that was judged; "" = not said.
  std::vector<vision::Sentence>
      notes;  ///< What marks the whole verdict: not calibrated, angles relative, nominal bore.
};

/// Three-valued comparison with "at most `limit`".
/// @param low_mm, high_mm The limit; different where sources disagree (between them nothing is decided).
/// @return kNotMeasured when a number is not finite or u < 0; kUndecided when |value - limit| <= k u; with u = 0 the
/// limit itself is allowed.
Outcome Decide(double value_mm, double u_mm, double low_mm, double high_mm, double k);

/// Applies every rule of `set`. Never throws; the order of findings is the order of rules.
/// @param overruled Stays in `reading` as measured and becomes a finding of its own outcome.
Verdict Judge(const vision::reading::Reading& reading, const Joint& joint, const CriteriaSet& set, double k = 2.0,
              const std::vector<Overruled>& overruled = {});

/// Works out disposition, decided_by and exit_code from the findings.
void Dispose(Verdict* verdict);

/// JSON `rootscroll.verdict/2`.
std::string ToJson(const Verdict& verdict);

/// Reads what ToJson wrote, now or as `rootscroll.verdict/1` (whose key `caution` is now `cautions`), so that an old
/// verdict is shown as it was given. @param name How the text is called in a message.
vision::Result<Verdict> VerdictFromJson(const std::string& text, const std::string& name);

}  // namespace app::joint
