#pragma once

#include <string>

#include "vision/reading/reading.h"
#include "vision/study/repeat.h"

namespace vision::reading {

/// What a study of repeated readings needs of one: width, toes, heights, misalignment, each with its uncertainty.
study::RepeatedReading RepeatedFrom(const Reading& reading, const std::string& name, const std::string& operator_name);

}  // namespace vision::reading
