#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "vision/base/result.h"

namespace app::book {

/// Whether a JSON value from outside has the shape of `sample`, in which every list holds one entry and nothing is
/// null: known keys alone, texts, whole numbers, numbers, true and false where the sample has them. Keys may be absent,
/// and null stands for one that is.
/// @param name How the text is called in the message.
/// @return kBadInput naming the first place that differs and what it must be.
vision::Status CheckShape(const std::string& name, const nlohmann::json& value, const nlohmann::json& sample);

}  // namespace app::book
