#include "vision/study/pod_data.h"

#include <algorithm>
#include <cctype>
#include <optional>

namespace vision::study {
namespace {

std::string FirstThere(const Table& table, const std::string& given, const std::vector<std::string>& usual) {
  if (!given.empty()) return given;
  for (const auto& name : usual)
    if (table.Has(name)) return name;
  return usual.front();
}

std::optional<bool> HitFrom(std::string word) {
  std::transform(word.begin(), word.end(), word.begin(), [](unsigned char c) { return std::tolower(c); });
  for (const char* hit : {"1", "yes", "true", "hit", "found"})
    if (word == hit) return true;
  for (const char* miss : {"0", "no", "false", "miss", "missed"})
    if (word == miss) return false;
  return std::nullopt;
}

}  // namespace

Result<std::vector<Target>> TargetsFrom(const Table& table, const std::string& size_column,
                                        const std::string& hit_column) {
  const std::string hit_name = FirstThere(table, hit_column, {"hit", "y"});
  auto sizes = NumberColumn(table, FirstThere(table, size_column, {"size_mm", "size", "x"}));
  if (!sizes.ok()) return sizes.error();
  auto words = TextColumn(table, hit_name);
  if (!words.ok()) return words.error();
  std::vector<Target> targets;
  for (std::size_t i = 0; i < sizes.value().size(); ++i) {
    const auto hit = HitFrom(words.value()[i]);
    if (!hit)
      return BadInput(table.name + ": column `" + hit_name + "`, row " + std::to_string(i + 1) + " is `" +
                      words.value()[i] + "`; it must be 1 (found) or 0 (missed).");
    targets.push_back({sizes.value()[i], *hit});
  }
  return targets;
}

}  // namespace vision::study
