#pragma once

#include <string>

#include "vision/base/result.h"

namespace vision {

/// A number as people type it in any language: point or comma is the decimal sign, either is taken everywhere. There
/// are no signs for thousands: a text with two of them is refused, since it could be read two ways.
/// @param name What the number is, for the message.
/// @return kBadInput when it is no number, not finite or could be read two ways.
Result<double> NumberFrom(const std::string& text, const std::string& name);

/// A number for a sentence, as printf writes it.
std::string NumberText(double value, const char* format = "%g");

}  // namespace vision
