#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>

#include "vision/base/sentence.h"

/// Three channels, never mixed: "no answer" is std::optional, failure is Result<T>, a programmer's error is an assert.
namespace vision {

/// What kind of failure: decides the exit code and whether a person is shown an error at all.
enum class ErrorCode {
  kBadInput,   ///< The file, field or value given cannot be used (exit code 2).
  kNotFound,   ///< Well-formed input in which the thing looked for is not there (no weld, not a bore).
  kCancelled,  ///< Somebody asked to stop; never shown as an error.
  kIo,         ///< Reading or writing failed (exit code 2).
};

/// One clear sentence naming the file, the field and what would be right.
struct Error {
  ErrorCode code = ErrorCode::kBadInput;
  std::string message;
  Sentence says = {};  ///< The same as a code, where it may come to stand in a reading.
};

/// A value or the reason why there is none. Has no operator bool, so that it cannot be tested by accident.
template <class T>
class [[nodiscard]] Result {
 public:
  Result(T value) : state_(std::move(value)) {}      // NOLINT(google-explicit-constructor)
  Result(Error error) : state_(std::move(error)) {}  // NOLINT(google-explicit-constructor)
  operator bool() const = delete;

  bool ok() const { return std::holds_alternative<T>(state_); }
  bool cancelled() const { return !ok() && error().code == ErrorCode::kCancelled; }
  const T& value() const& { return std::get<T>(state_); }
  T& value() & { return std::get<T>(state_); }
  T&& value() && { return std::get<T>(std::move(state_)); }
  const Error& error() const { return std::get<Error>(state_); }

 private:
  std::variant<T, Error> state_;
};

/// Failure without a value: nullopt means that all went well.
using Status = std::optional<Error>;

inline Error BadInput(std::string message) { return {ErrorCode::kBadInput, std::move(message)}; }
inline Error NotFound(std::string message) { return {ErrorCode::kNotFound, std::move(message)}; }
inline Error BadInput(Says code, std::vector<Argument> args = {}) {
  const Sentence says{code, std::move(args)};
  return {ErrorCode::kBadInput, EnglishOf(says), says};
}
inline Error NotFound(const Sentence& says) { return {ErrorCode::kNotFound, EnglishOf(says), says}; }
inline Error NotFound(Says code, std::vector<Argument> args = {}) { return NotFound(Sentence{code, std::move(args)}); }
/// What an error says, to stand in a sentence.
inline Sentence SaidBy(const Error& error) { return error.says.empty() ? AsSaid(error.message) : error.says; }
inline Error Cancelled() { return {ErrorCode::kCancelled, "cancelled"}; }

}  // namespace vision
