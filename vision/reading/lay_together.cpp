#include "vision/reading/lay_together.h"

#include <algorithm>
#include <cmath>

#include "vision/base/says.h"

namespace vision::reading {
namespace {

using match::Alignment;

/// Looks that hang together, each with how it lies on the group's first.
struct Group {
  std::vector<std::size_t> members;
  std::vector<std::optional<Alignment>> to_first;
};

/// What a look could not be laid on first, and why.
struct NotLaid {
  std::string on;
  Reason reason;
};

/// Of one push or one head: in one frame of reference already.
bool GoTogether(const Look& a, const Look& b) {
  if (a.levels && b.levels && a.facing == b.facing) return true;
  return a.shot && a.shot == b.shot && a.recording == b.recording;
}

/// Members of the group, those from about as far as `look` first; the group's first is always among them.
std::vector<std::size_t> ToTry(const Group& group, const std::vector<Look>& looks, const Look& look, int most) {
  std::vector<std::size_t> order;
  for (std::size_t k = 0; k < group.members.size(); ++k) order.push_back(k);
  const auto apart = [&](std::size_t k) {
    return std::abs(looks[group.members[k]].distance_mm() - look.distance_mm());
  };
  std::stable_sort(order.begin() + 1, order.end(), [&](std::size_t a, std::size_t b) { return apart(a) < apart(b); });
  order.resize(std::min(order.size(), static_cast<std::size_t>(std::max(1, most))));
  return order;
}

bool Joins(Group& group, const std::vector<Look>& looks, std::size_t i, int most_tried,
           std::optional<NotLaid>* why_not) {
  for (std::size_t k = 0; k < group.members.size(); ++k)
    if (GoTogether(looks[group.members[k]], looks[i])) {
      group.members.push_back(i), group.to_first.push_back(group.to_first[k]);
      return true;
    }
  for (const std::size_t k : ToTry(group, looks, looks[i], most_tried)) {
    const auto alignment = match::Align(looks[group.members[k]].strip, looks[i].strip);
    if (!alignment.ok()) {
      if (!*why_not) *why_not = {looks[group.members[k]].name, SaidBy(alignment.error())};
      continue;
    }
    group.members.push_back(i);
    group.to_first.push_back(group.to_first[k] ? Chained(alignment.value(), *group.to_first[k]) : alignment.value());
    return true;
  }
  return false;
}

void Sum(match::AroundBore& to, const match::AroundBore& more) {
  for (std::size_t i = 0; i < to.c.size(); ++i) to.c[i] += more.c[i];
}

std::vector<Group> GroupsOf(const std::vector<Look>& looks, int most_tried,
                            std::vector<std::optional<NotLaid>>* why_not) {
  std::vector<Group> groups;
  why_not->assign(looks.size(), std::nullopt);
  for (std::size_t i = 0; i < looks.size(); ++i) {
    const bool joined = std::any_of(groups.begin(), groups.end(),
                                    [&](Group& g) { return Joins(g, looks, i, most_tried, &(*why_not)[i]); });
    if (!joined) groups.push_back({{i}, {std::nullopt}});
  }
  return groups;
}

double NearestOf(const Group& group, const std::vector<Look>& looks) {
  double nearest = INFINITY;
  for (const std::size_t i : group.members) nearest = std::min(nearest, looks[i].distance_mm());
  return nearest;
}

/// Most looks; of equals the one that was taken nearest, since it shows most.
const Group& BestOf(const std::vector<Group>& groups, const std::vector<Look>& looks) {
  return *std::max_element(groups.begin(), groups.end(), [&](const Group& a, const Group& b) {
    if (a.members.size() != b.members.size()) return a.members.size() < b.members.size();
    return NearestOf(a, looks) > NearestOf(b, looks);
  });
}

}  // namespace

Alignment Chained(const Alignment& moving_in_between, const Alignment& between_in_first) {
  Alignment chained = moving_in_between;
  Sum(chained.left_z_mm, between_in_first.left_z_mm);
  Sum(chained.right_z_mm, between_in_first.right_z_mm);
  Sum(chained.arc_mm, between_in_first.arc_mm);
  chained.correlation = std::min(chained.correlation, between_in_first.correlation);
  chained.residual_mm = std::hypot(chained.residual_mm, between_in_first.residual_mm);
  chained.patches = std::min(chained.patches, between_in_first.patches);
  return chained;
}

void LayTogether(std::vector<Look>& looks, Reading& reading, const LayTogetherOptions& options) {
  if (looks.size() < 2) return;
  std::vector<std::optional<NotLaid>> why_not;
  const auto groups = GroupsOf(looks, options.most_tried, &why_not);
  const Group& best = BestOf(groups, looks);
  const std::string first = looks[best.members.front()].name;
  std::vector<Look> laid;
  for (std::size_t i = 0, k = 0; i < looks.size(); ++i) {
    if (k < best.members.size() && best.members[k] == i) {
      laid.push_back(std::move(looks[i]));
      laid.back().to_first = best.to_first[k++];
      continue;
    }
    const NotLaid why = why_not[i].value_or(NotLaid{first, {Says::kWallsDoNotMatch}});
    reading.notes.push_back({Says::kNotLaidOn, {looks[i].name, why.on, why.reason}});
  }
  looks = std::move(laid);
}

}  // namespace vision::reading
