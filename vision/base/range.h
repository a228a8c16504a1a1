#pragma once

#include <initializer_list>

#include "vision/base/result.h"

namespace vision {

/// One number of an options struct and where it may lie, ends included.
struct Ranged {
  template <class T>
  constexpr Ranged(const char* field, T its_value, double lowest, double highest)
      : name(field), value(static_cast<double>(its_value)), low(lowest), high(highest) {}

  const char* name;
  double value, low, high;
};

/// @return kBadInput naming struct, field, value and range of the first that lies outside; NaN lies outside.
Status FirstOutside(const char* options, std::initializer_list<Ranged> numbers);

}  // namespace vision
