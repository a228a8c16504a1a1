#include "app/viewer/legends.h"

#include <algorithm>

namespace app::viewer {
namespace {

using marks::Means;

void AddEdges(const known::Known& known, std::vector<Means>& means) {
  const auto has = [&](known::Edge edge) {
    return std::count(known.edges_a.begin(), known.edges_a.end(), edge) +
               std::count(known.edges_b.begin(), known.edges_b.end(), edge) >
           0;
  };
  means.push_back(Means::kUnfused);
  if (has(known::Edge::kUnfusedByHand)) means.push_back(Means::kUnfusedByHand);
  if (has(known::Edge::kOverruled) || known.OverruledCount() > 0) means.push_back(Means::kOverruled);
  means.push_back(Means::kNotVisible);
  means.push_back(Means::kFused);
}

void AddDrawn(const Desk& desk, std::vector<Means>& means) {
  const auto& seen = desk.known().seen;
  if (std::any_of(seen.begin(), seen.end(), [](const auto& one) { return !one.marked_place; }))
    means.push_back(Means::kNote);
  if (std::any_of(seen.begin(), seen.end(), [](const auto& one) { return one.marked_place; }))
    means.push_back(Means::kMarkedPlace);
  if (desk.opened().welded && !desk.opened().welded->times.stops.empty()) means.push_back(Means::kStop);
}

void AddRibbons(const std::vector<Ribbon>& ribbons, std::vector<Means>& means) {
  bool measured = false, limited = false;
  for (const auto& ribbon : ribbons) {
    measured = measured || ribbon.measured;
    limited = limited || (ribbon.measured && std::any_of(ribbon.limit_mm.begin(), ribbon.limit_mm.end(),
                                                         [](double mm) { return std::isfinite(mm); }));
  }
  if (measured) means.push_back(Means::kValue), means.push_back(Means::kUncertainty);
  if (limited) means.push_back(Means::kLimit);
}

}  // namespace

std::vector<Means> OnPage(const Desk& desk, const Layers& layers, Against against) {
  std::vector<Means> means;
  if (!desk.has()) return means;
  if (against == Against::kDifference || against == Against::kHeights)
    means.push_back(Means::kLaterBrighter), means.push_back(Means::kLaterDarker);
  if (layers.fusion || layers.indications) AddEdges(desk.known(), means);
  if (layers.toes) {
    means.push_back(Means::kToe);
    if (!desk.known().toes.empty()) means.push_back(Means::kToeByHand);
  }
  if (layers.reader) means.push_back(Means::kChance);
  if (layers.indications && !desk.known().found.empty()) means.push_back(Means::kIndication);
  if (layers.notes) AddDrawn(desk, means);
  if (layers.ribbons) AddRibbons(desk.ribbons(), means);
  if (layers.reader && !std::count(means.begin(), means.end(), Means::kUncertainty))
    means.push_back(Means::kUncertainty);
  return means;
}

std::vector<Means> OnEndView(const Desk& desk) {
  std::vector<Means> means;
  if (!desk.has()) return means;
  AddEdges(desk.known(), means);
  if (!desk.known().toes.empty()) means.push_back(Means::kToeByHand);
  return means;
}

std::vector<Means> OnSection(const Desk& desk) {
  if (!desk.has() || !desk.opened().heights) return {};
  return {Means::kUncertainty, Means::kChord};
}

}  // namespace app::viewer
