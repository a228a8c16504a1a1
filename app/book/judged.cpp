#include "app/book/judged.h"

#include <algorithm>

#include "app/joint/verdict.h"

namespace app::book {

namespace {
using app::joint::Verdict;

bool SameWords(const VerdictEntry& entry, const Verdict& file) {
  return entry.criterion == file.criterion && entry.standard == file.standard && entry.edition == file.edition &&
         entry.disposition == file.disposition && entry.decided_by == file.decided_by &&
         entry.exit_code == file.exit_code;
}

bool FollowsFromItsFindings(Verdict verdict) {
  const std::string disposition = verdict.disposition;
  const int exit_code = verdict.exit_code;
  app::joint::Dispose(&verdict);
  return verdict.disposition == disposition && verdict.exit_code == exit_code;
}

bool Holds(const Cycle& cycle, const std::string& reading) {
  return std::any_of(cycle.readings.begin(), cycle.readings.end(),
                     [&](const ReadingEntry& entry) { return entry.reading.sha256 == reading; });
}

vision::Status Check(const Record& record, const EvidenceStore& evidence, const Record& before, bool needs_reading) {
  for (std::size_t i = 0; i < record.cycles.size(); ++i) {
    const Cycle& cycle = record.cycles[i];
    for (const auto& verdict : cycle.verdicts) {
      const bool known = i < before.cycles.size() &&
                         std::find(before.cycles[i].verdicts.begin(), before.cycles[i].verdicts.end(), verdict) !=
                             before.cycles[i].verdicts.end();
      if (known) continue;
      if (const auto fault = VerdictFault(verdict, cycle, evidence, needs_reading); !fault.empty())
        return vision::BadInput("Joint " + record.joint + ", " + cycle.id + ": the verdict \"" + verdict.disposition +
                                "\" is not borne out: " + fault + ".");
    }
  }
  return std::nullopt;
}
}  // namespace

std::string VerdictFault(const VerdictEntry& entry, const Cycle& cycle, const EvidenceStore& evidence,
                         bool needs_reading) {
  auto text = evidence.Read(entry.file);
  if (!text.ok()) return "its file " + entry.file.name + " is not there as it was recorded";
  const auto file = app::joint::VerdictFromJson(text.value(), entry.file.name);
  if (!file.ok()) return "its file " + entry.file.name + " is no verdict";
  const Verdict& verdict = file.value();
  if (!SameWords(entry, verdict))
    return "its file " + entry.file.name + " says \"" + verdict.disposition + "\" by " + verdict.criterion;
  if (!FollowsFromItsFindings(verdict)) return "the disposition does not follow from the findings in its file";
  if (!Holds(cycle, entry.reading)) return "the cycle does not hold the reading it judges";
  if (verdict.reading_sha256.empty() && !needs_reading) return "";
  if (verdict.reading_sha256 != entry.reading) return "its file was not worked out from the reading it is given for";
  return "";
}

vision::Status CheckNewVerdicts(const Record& record, const Record& before, const EvidenceStore& evidence) {
  return Check(record, evidence, before, true);
}

vision::Status CheckVerdicts(const Record& record, const EvidenceStore& evidence) {
  return Check(record, evidence, {}, false);
}

}  // namespace app::book
