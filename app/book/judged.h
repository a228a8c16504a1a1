#pragma once

#include <string>

#include "app/book/evidence.h"
#include "app/book/record.h"

/// Whether what a record says of a verdict is what the verdict's own file says.
namespace app::book {

/// What is wrong with a cycle's verdict entry; "" when the file bears it out: the same criterion, edition, disposition
/// and exit code, a disposition that follows from the file's findings, and a reading of this cycle whose SHA-256 the
/// file names.
/// @param needs_reading Whether a file that names no reading is a fault (those of early versions name none).
std::string VerdictFault(const VerdictEntry& entry, const Cycle& cycle, const EvidenceStore& evidence,
                         bool needs_reading);

/// Every verdict of `record` that `before` does not hold. @return kBadInput for the first that is not borne out.
vision::Status CheckNewVerdicts(const Record& record, const Record& before, const EvidenceStore& evidence);

/// Every verdict of a record that comes from elsewhere.
vision::Status CheckVerdicts(const Record& record, const EvidenceStore& evidence);

}  // namespace app::book
