#include "app/book/findings.h"

#include <algorithm>

namespace app::book {
namespace {

constexpr const char* kOverruled = "overruled by ";

FindingEntry Entry(std::string kind, std::string iso6520, std::string side, double start_deg, double end_deg,
                   bool overruled, const std::optional<known::Decision>& decided) {
  FindingEntry entry{std::move(kind), std::move(iso6520), std::move(side), start_deg, end_deg, "open", ""};
  if (overruled) entry.state = "closed", entry.closed_because = known::Said(*decided);
  return entry;
}

bool Same(const FindingEntry& a, const FindingEntry& b) {
  return a.kind == b.kind && a.side == b.side && a.start_deg == b.start_deg && a.end_deg == b.end_deg;
}

}  // namespace

std::vector<FindingEntry> FindingsOf(const known::Known& known) {
  std::vector<FindingEntry> findings;
  for (const auto& one : known.runs)
    findings.push_back(Entry("original edge visible", "", one.run.side, one.run.start_deg, one.run.end_deg,
                             one.overruled(), one.decided));
  for (const auto& one : known.found)
    findings.push_back(Entry(one.indication.kind, one.indication.iso6520, "", one.indication.theta_deg,
                             one.indication.theta_deg, one.overruled(), one.decided));
  return findings;
}

void BringUp(const known::Known& known, std::vector<FindingEntry>& findings) {
  for (const FindingEntry& now : FindingsOf(known)) {
    auto old = std::find_if(findings.begin(), findings.end(), [&](const auto& one) { return Same(one, now); });
    if (old == findings.end()) {
      findings.push_back(now);
    } else if (old->state == "open" || old->closed_because.starts_with(kOverruled)) {
      *old = now;
    }
  }
}

}  // namespace app::book
