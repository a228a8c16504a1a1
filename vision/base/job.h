#pragma once

#include <functional>
#include <stop_token>
#include <string_view>
#include <utility>

namespace vision {

/// A way to stop and a way to report, handed down to long work; the work knows no threads and no window.
class JobContext {
 public:
  using Progress = std::function<void(double fraction, std::string_view stage)>;

  JobContext() = default;
  JobContext(std::stop_token stop, Progress progress) : stop_(std::move(stop)), progress_(std::move(progress)) {}

  bool Cancelled() const { return stop_.stop_requested(); }

  /// @param fraction Done share of the whole job, in [0, 1].
  void Report(double fraction, std::string_view stage) const {
    if (progress_) progress_(begin_ + (end_ - begin_) * fraction, stage);
  }

  /// The same job seen from a part of it that spans [begin, end] of the whole.
  JobContext Part(double begin, double end) const {
    JobContext part = *this;
    part.begin_ = begin_ + (end_ - begin_) * begin;
    part.end_ = begin_ + (end_ - begin_) * end;
    return part;
  }

 private:
  std::stop_token stop_;
  Progress progress_;
  double begin_ = 0, end_ = 1;
};

}  // namespace vision
