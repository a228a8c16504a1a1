#include "vision/live/lay_flat.h"

#include <algorithm>
#include <cstdint>
#include <cstring>
#include <opencv2/core/hal/intrin.hpp>

namespace vision::live {
namespace {

constexpr int kSteps = 32;  ///< Format: fixed point, Places between two pixels.

/// Weights (of 1024) of the four pixels for every place between them, as pairs (upper row, lower row) beside the
/// channels B G R of the left pixel and B G R of the right one.
struct Weights {
  alignas(16) std::array<std::array<short, 16>, kSteps * kSteps> of{};
  Weights() {
    for (int y = 0; y < kSteps; ++y)
      for (int x = 0; x < kSteps; ++x)
        for (int channel = 0; channel < 6; ++channel) {
          const int across = channel < 3 ? kSteps - x : x;
          auto* pair = of[static_cast<std::size_t>(y * kSteps + x)].data() + 2 * channel;
          pair[0] = static_cast<short>(across * (kSteps - y));
          pair[1] = static_cast<short>(across * y);
        }
  }
};

const Weights& TheWeights() {
  static const Weights weights;
  return weights;
}

/// Sums for B G R (of 1024) of the pixels at `above` and `below` and their right neighbours; eight bytes can be read
/// from each.
cv::v_int32x4 Weighed(const uchar* above, const uchar* below, const short* weights) {
  cv::v_uint8x16 pairs, unused;
  cv::v_zip(cv::v_load_low(above), cv::v_load_low(below), pairs, unused);
  cv::v_uint16x8 first, second;
  cv::v_expand(pairs, first, second);
  const auto left = cv::v_dotprod(cv::v_reinterpret_as_s16(first), cv::v_load_aligned(weights)),  // B G R, B right
      right = cv::v_dotprod(cv::v_reinterpret_as_s16(second), cv::v_load_aligned(weights + 8));   // G R right
  return left + cv::v_extract<3>(left, right);
}

/// The frame at places in 1/32 px.
class Sampler {
 public:
  explicit Sampler(const cv::Mat3b& frame) : data_(frame.data), step_(frame.step[0]) {}

  /// Two places' colours in the lowest six bytes.
  std::uint64_t Two(const int* x, const int* y) const {
    const auto shorts = cv::v_rshr_pack<10>(One(x[0], y[0]), One(x[1], y[1]));
    const std::uint64_t both = cv::v_reinterpret_as_u64(cv::v_pack_u(shorts, shorts)).get0();
    return (both & 0xFFFFFF) | ((both >> 8) & 0xFFFFFF000000);
  }

 private:
  cv::v_int32x4 One(int x, int y) const {
    const uchar* above = data_ + step_ * static_cast<std::size_t>(y >> 5) + 3 * (x >> 5);
    return Weighed(above, above + step_, weights_.of[static_cast<std::size_t>((y & 31) * kSteps + (x & 31))].data());
  }

  const uchar* data_;
  std::size_t step_;
  const Weights& weights_ = TheWeights();
};

/// start + k * step of eight places, rounded half up.
void Places(float start, float step, int* places) {
  const cv::v_float32x4 first(0, 1, 2, 3), second(4, 5, 6, 7),
      from = cv::v_setall_f32(start), by = cv::v_setall_f32(step), half = cv::v_setall_f32(0.5F);
  cv::v_store(places, cv::v_trunc(from + first * by + half));
  cv::v_store(places + 4, cv::v_trunc(from + second * by + half));
}

}  // namespace

void LayFlat(const cv::Mat3b& frame, const std::array<cv::Vec2f, 4>& c, cv::Mat3b& strip, int top, int left) {
  constexpr float kUnit = static_cast<float>(kSteps) / kBlock;  ///< Format: fixed point.
  const Sampler sampler(frame);
  const int bottom = std::min(top + kBlock, strip.rows);
  int x[kBlock], y[kBlock];
  for (int row = top; row < bottom; ++row) {
    const float f = static_cast<float>(row - top) / kBlock;
    const cv::Vec2f from = c[0] + f * (c[2] - c[0]), to = c[1] + f * (c[3] - c[1]);
    const cv::Vec2f start = kSteps * from, step = kUnit * (to - from);
    Places(start[0], step[0], x);
    Places(start[1], step[1], y);
    const std::uint64_t a = sampler.Two(x, y), b = sampler.Two(x + 2, y + 2), d = sampler.Two(x + 4, y + 4),
                        e = sampler.Two(x + 6, y + 6);
    const std::uint64_t bytes[] = {a | b << 48, b >> 16 | d << 32, d >> 32 | e << 16};
    std::memcpy(strip.ptr(row) + 3 * left, bytes, sizeof bytes);  // lowest byte first, as on all machines we build for
  }
}

}  // namespace vision::live
