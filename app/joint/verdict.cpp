#include "app/joint/verdict.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "app/joint/cautions.h"
#include "vision/bore/angle.h"

namespace app::joint {
namespace {

using Ordered = nlohmann::ordered_json;

constexpr double kThetaStepDeg = 10, kZStepMm = 5;  ///< A re-measured place keeps its fingerprint unless near an edge.

Ordered OrNull(const std::optional<double>& value) {
  return value && std::isfinite(*value) ? Ordered(*value) : Ordered(nullptr);
}

Ordered ToOrdered(const Finding& f) {
  return {{"rule", f.rule_id},
          {"title", f.title},
          {"iso6520", f.iso6520},
          {"paragraph", f.paragraph},
          {"how_known", f.how_known},
          {"datum", f.datum},
          {"outcome", NameOf(f.outcome)},
          {"reason", EnglishOf(f.reason)},
          {"theta_deg", OrNull(f.theta_deg)},
          {"end_theta_deg", OrNull(f.end_theta_deg)},
          {"z_mm", OrNull(f.z_mm)},
          {"value_mm", OrNull(f.value_mm)},
          {"u_mm", OrNull(f.u_mm)},
          {"limit_mm", OrNull(f.limit_mm)},
          {"fingerprint", f.Fingerprint()}};
}

long Rounded(double value, double step) { return std::lround(std::round(value / step) * step); }

}  // namespace

std::string WordsOf(Outcome outcome) {
  switch (outcome) {
    case Outcome::kWithin:
      return "within limit";
    case Outcome::kBeyond:
      return "exceeds limit";
    case Outcome::kAnnotated:
      return "shown, not evaluated";
    default:
      return NameOf(outcome);
  }
}

std::string NameOf(Outcome outcome) {
  switch (outcome) {
    case Outcome::kWithin:
      return "within";
    case Outcome::kBeyond:
      return "beyond";
    case Outcome::kUndecided:
      return "undecided";
    case Outcome::kNotMeasured:
      return "not measured";
    case Outcome::kAnnotated:
      return "annotated";
    case Outcome::kOverruled:
      return "overruled";
  }
  return "not measured";
}

std::string Finding::Fingerprint() const {
  std::string out = rule_id;
  if (theta_deg && std::isfinite(*theta_deg))
    out += "@" + std::to_string(Rounded(vision::bore::Wrap360(*theta_deg), kThetaStepDeg) % 360) + "deg";
  if (z_mm && std::isfinite(*z_mm)) out += "," + std::to_string(Rounded(*z_mm, kZStepMm)) + "mm";
  return out;
}

std::string ToJson(const Verdict& verdict) {
  Ordered findings = Ordered::array();
  for (const Finding& finding : verdict.findings) findings.push_back(ToOrdered(finding));
  Ordered notes = Ordered::array();
  for (const auto& note : verdict.notes) notes.push_back(EnglishOf(note));
  Ordered out = {{"format", "rootscroll.verdict/2"},
                 {"criterion", verdict.criterion},
                 {"standard", verdict.standard},
                 {"edition", verdict.edition},
                 {"disposition", verdict.disposition},
                 {"decided_by", verdict.decided_by},
                 {"exit_code", verdict.exit_code},
                 {"k", verdict.k},
                 {"notes", notes},
                 {"findings", findings},
                 {"cautions", StandingCautions()}};
  if (!verdict.reading_sha256.empty()) out["reading_sha256"] = verdict.reading_sha256;
  return out.dump(2, ' ', false, Ordered::error_handler_t::replace) + "\n";
}

}  // namespace app::joint
