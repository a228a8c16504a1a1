#pragma once

#include <string_view>
#include <vector>

namespace app::notes {

/// What an annotation can be of. ISO 6520-1 kinds visible from inside, kinds without a number there, and places marked
/// before or while welding, where fusion fails first (common practice, no source).
struct Kind {
  std::string_view id;         ///< Stable, in files.
  std::string_view iso6520;    ///< Empty where none.
  std::string_view name;       ///< English, for people.
  std::string_view judged_as;  ///< Kind of indication in criteria sets; empty = recorded, judged by no rule.
  bool marked_place = false;   ///< A place known beforehand, not an imperfection.
};

/// In the order a person is offered them: marked places last. Numbers from a digest of ISO 6520-1 and from memory:
/// check against your document.
const std::vector<Kind>& Kinds();

/// @return nullptr when there is none of that id.
const Kind* FindKind(std::string_view id);

}  // namespace app::notes
