#pragma once

#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "app/joint/study_limits.h"
#include "vision/study/repeat.h"

/// How a study of repeated readings is told.
namespace app::cli {

using StudyLimitMap = std::map<std::string, app::joint::StudyLimit>;

std::string GaugeWords(const vision::study::GaugeStudy& study);
nlohmann::ordered_json GaugeJson(const vision::study::GaugeStudy& study);

std::string RepeatWords(const vision::study::RepeatReport& report, const std::vector<std::string>& names,
                        const StudyLimitMap& limits);
nlohmann::ordered_json RepeatJson(const vision::study::RepeatReport& report, const std::vector<std::string>& names,
                                  const StudyLimitMap& limits);

/// One line a station line: theta, then mean and standard deviation of each quantity.
std::string RepeatCsv(const vision::study::RepeatReport& report);

/// "U 0.12 mm (k = 2) is 0.08 of 1.59 mm (...): good for ..."; "no limit to hold it beside" where there is none.
std::string FitnessWords(const std::string& quantity, double expanded_mm, const StudyLimitMap& limits);

}  // namespace app::cli
