#include "app/book/revision.h"

#include <nlohmann/json.hpp>

#include "app/book/digest.h"
#include "vision/base/text.h"

namespace app::book {

std::string HashOfParts(const std::vector<std::string>& parts) {
  return Sha256(nlohmann::json(parts).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace));
}

std::string Revision::ComputeHash() const {
  return HashOfParts(
      {"rootscroll.revision/1", joint, std::to_string(number), author, login, made_at, reason, parent, Sha256(body)});
}

std::string ComputeSeal(const std::string& seal_before, std::int64_t seq, const std::string& kind,
                        const std::string& item) {
  return HashOfParts({"rootscroll.journal/1", seal_before, std::to_string(seq), kind, item});
}

namespace {
/// Every value of a JSON text by its JSON pointer.
nlohmann::json Flat(const std::string& text) {
  const auto json = nlohmann::json::parse(text, nullptr, false);
  return json.is_structured() && !json.empty() ? json.flatten() : nlohmann::json::object();
}

std::string Shown(const std::string& value) { return value.empty() ? "nothing" : vision::Printable(value); }

void AddList(std::string& text, const std::vector<Change>& changes) {
  constexpr std::size_t kMost = 20;
  for (std::size_t i = 0; i < changes.size() && i < kMost; ++i)
    text += "\n    " + vision::Printable(changes[i].path) + ": " + Shown(changes[i].before) + " -> " +
            Shown(changes[i].after);
  if (changes.size() > kMost) text += "\n    and " + std::to_string(changes.size() - kMost) + " more";
  if (changes.empty()) text += "\n    nothing";
}
}  // namespace

std::vector<Change> Changes(const std::string& before, const std::string& after) {
  const auto old_values = Flat(before), new_values = Flat(after);
  std::vector<Change> changes;
  for (const auto& [path, value] : old_values.items()) {
    const auto now = new_values.find(path);
    if (now == new_values.end())
      changes.push_back({path, value.dump(), ""});
    else if (*now != value)
      changes.push_back({path, value.dump(), now->dump()});
  }
  for (const auto& [path, value] : new_values.items())
    if (!old_values.contains(path)) changes.push_back({path, "", value.dump()});
  return changes;
}

std::string Conflict::Text() const {
  std::string text =
      "Joint " + vision::Printable(theirs.joint) + " was changed while you worked on it: you began from revision " +
      std::to_string(based_on) + ", the book now holds revision " + std::to_string(theirs.number) + " by " +
      vision::Printable(theirs.author) + ", " + theirs.made_at + ", reason: " + vision::Printable(theirs.reason) +
      ".\n  Their version, against revision " + std::to_string(based_on) + ":";
  AddList(text, others);
  text += "\n  Your version, against revision " + std::to_string(based_on) + ", NOT saved:";
  AddList(text, mine);
  return text + "\n  Look at revision " + std::to_string(theirs.number) +
         ", put your change into it and save again; nothing of either version is lost.";
}

}  // namespace app::book
