#pragma once

#include <cassert>
#include <optional>
#include <utility>

#include "vision/base/sentence.h"
#include "vision/reading/reading.h"

namespace vision::reading {

/// A value with its standard uncertainty (k = 1, of the value's unit), or why there is none.
template <class T>
class Stated {
 public:
  static Stated Of(T value, double u) { return Stated(std::move(value), u, {}); }
  static Stated Not(Reason why) { return Stated(std::nullopt, kNotMeasured, std::move(why)); }

  bool told() const { return value_.has_value(); }
  const T& value() const {
    assert(told());
    return *value_;
  }
  double u() const { return u_; }             ///< NaN where no value is told.
  const Reason& why() const { return why_; }  ///< Empty where a value is told.

 private:
  Stated(std::optional<T> value, double u, Reason why) : value_(std::move(value)), u_(u), why_(std::move(why)) {}

  std::optional<T> value_;
  double u_;
  Reason why_;
};

/// The number, NaN where none is told: as arrays of lines hold it.
inline double OrNan(const Stated<double>& stated) { return stated.told() ? stated.value() : kNotMeasured; }

}  // namespace vision::reading
