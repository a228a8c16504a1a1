#include "vision/study/gauge.h"

#include <algorithm>
#include <map>

namespace vision::study {
namespace {

std::size_t IndexOf(std::vector<std::string>& names, const std::string& name) {
  const auto found = std::find(names.begin(), names.end(), name);
  if (found != names.end()) return static_cast<std::size_t>(found - names.begin());
  names.push_back(name);
  return names.size() - 1;
}

}  // namespace

Result<CrossedStudy> Arrange(const std::vector<GaugeValue>& readings, const std::string& name) {
  CrossedStudy study;
  std::map<std::pair<std::size_t, std::size_t>, std::vector<double>> cells;
  for (const auto& reading : readings) {
    const auto op = IndexOf(study.operators, reading.operator_name), part = IndexOf(study.parts, reading.part);
    cells[{op, part}].push_back(reading.value);
  }
  if (study.parts.size() < 2) return BadInput(name + ": a gauge study needs at least 2 parts.");
  const std::size_t trials = cells.begin()->second.size();
  if (trials < 2) return BadInput(name + ": a gauge study needs at least 2 readings of each part by each operator.");
  study.trials = static_cast<int>(trials);
  for (std::size_t op = 0; op < study.operators.size(); ++op)
    for (std::size_t part = 0; part < study.parts.size(); ++part) {
      const auto& cell = cells[{op, part}];
      if (cell.size() != trials)
        return BadInput(name + ": operator " + study.operators[op] + " read part " + study.parts[part] + " " +
                        std::to_string(cell.size()) + " times; every operator must read every part " +
                        std::to_string(trials) + " times.");
      study.values.insert(study.values.end(), cell.begin(), cell.end());
    }
  return study;
}

Fitness FitnessOf(double expanded_mm, double limit_mm) {
  if (expanded_mm <= 0.1 * limit_mm) return Fitness::kGood;
  return expanded_mm <= 0.25 * limit_mm ? Fitness::kAtWorst : Fitness::kNotFit;
}

std::string SentenceOf(Fitness fitness) {
  if (fitness == Fitness::kGood) return "good for judging this limit: at most a tenth of it";
  return fitness == Fitness::kAtWorst ? "fit for judging this limit at worst: above a tenth, at most a quarter of it"
                                      : "not fit for judging this limit: above a quarter of it";
}

}  // namespace vision::study
