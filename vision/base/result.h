#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>

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
  int reason = 0;  ///< What the sentence says as the room's own enum (pose::Refusal); 0 = none.
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
inline Error Cancelled() { return {ErrorCode::kCancelled, "cancelled"}; }

}  // namespace vision
