#pragma once

#include <vector>

#include "app/book/record.h"
#include "app/known/known.h"

namespace app::book {

/// What is known as findings of the record: open, or closed where a person overruled it, with name and reason.
std::vector<FindingEntry> FindingsOf(const known::Known& known);

/// Brings a cycle's findings up to what is known now: opens and closes those that a person's word changed, adds those
/// that a person saw. What was closed for another reason stays closed.
void BringUp(const known::Known& known, std::vector<FindingEntry>& findings);

}  // namespace app::book
