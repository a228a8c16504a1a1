#include "vision/unroll/cubic.h"

#include <array>
#include <opencv2/core/hal/intrin.hpp>

namespace vision::unroll {
namespace {

constexpr int kSteps = 32;  ///< Format: fixed point, Fractions of a pixel, as cv::remap's.
constexpr int kBits = 15;   ///< Format: fixed point, Weights are whole numbers over 2^15.

/// Keys' cubic with a = -0.75 at the four pixels around `x` in [0, 1).
std::array<float, 4> Cubic(float x) {
  constexpr float a = -0.75F;
  std::array<float, 4> w{};
  w[0] = ((a * (x + 1) - 5 * a) * (x + 1) + 8 * a) * (x + 1) - 4 * a;
  w[1] = ((a + 2) * x - (a + 3)) * x * x + 1;
  w[2] = ((a + 2) * (1 - x) - (a + 3)) * (1 - x) * (1 - x) + 1;
  w[3] = 1.F - w[0] - w[1] - w[2];
  return w;
}

using Window = std::array<short, 16>;  ///< 4 x 4 pixels, row by row.

/// Weights of one fraction; what rounding leaves over goes to one of the four pixels behind, as cv::remap does it.
Window WindowOf(int fraction_v, int fraction_u) {
  const auto down = Cubic(static_cast<float>(fraction_v) / kSteps),
             across = Cubic(static_cast<float>(fraction_u) / kSteps);
  Window w{};
  int sum = 0;
  for (std::size_t i = 0; i < 16; ++i)
    sum += w[i] = cv::saturate_cast<short>(down[i / 4] * across[i % 4] * static_cast<float>(1 << kBits));
  const int over = sum - (1 << kBits);
  if (over == 0) return w;
  std::size_t most = 10, least = 10;
  for (const std::size_t i : {10U, 11U, 14U, 15U})
    if (w[i] < w[least])
      least = i;
    else if (w[i] > w[most])
      most = i;
  auto& changed = w[over < 0 ? most : least];
  changed = static_cast<short>(changed - over);
  return w;
}

/// Weights of every fraction, and the same laid out for pairs of rows: [pair of rows][12 samples B G R B G R ...][2].
struct Table {
  std::array<Window, kSteps * kSteps> window;
  alignas(16) std::array<std::array<short, 48>, kSteps * kSteps> paired;

  Table() {
    for (int v = 0; v < kSteps; ++v)
      for (int u = 0; u < kSteps; ++u) {
        const auto index = static_cast<std::size_t>(v * kSteps + u);
        window[index] = WindowOf(v, u);
        for (std::size_t pair = 0; pair < 2; ++pair)
          for (std::size_t sample = 0; sample < 12; ++sample)
            for (std::size_t row = 0; row < 2; ++row)
              paired[index][24 * pair + 2 * sample + row] = window[index][4 * (2 * pair + row) + sample / 3];
      }
  }
};

const Table& TheTable() {
  static const Table table;
  return table;
}

/// Near the picture's rim; what lies beyond is black.
cv::Vec3b AtTheRim(const cv::Mat3b& frame, int u, int v, const Window& weights) {
  cv::Vec3i sum(0, 0, 0);
  for (int i = 0; i < 16; ++i) {
    const int row = v + i / 4, column = u + i % 4;
    if (row < 0 || column < 0 || row >= frame.rows || column >= frame.cols) continue;
    for (int c = 0; c < 3; ++c) sum[c] += frame(row, column)[c] * weights[static_cast<std::size_t>(i)];
  }
  cv::Vec3b out;
  for (int c = 0; c < 3; ++c) out[c] = cv::saturate_cast<uchar>((sum[c] + (1 << (kBits - 1))) >> kBits);
  return out;
}

/// Two rows of four pixels times their weights: sums for B G R B | G R B G | R B G R.
void AddRows(const uchar* above, const uchar* below, const short* weights, cv::v_int32x4& s0, cv::v_int32x4& s1,
             cv::v_int32x4& s2) {
  cv::v_uint8x16 first, second;
  cv::v_zip(cv::v_load(above), cv::v_load(below), first, second);
  cv::v_uint16x8 a, b;
  cv::v_expand(first, a, b);
  const cv::v_uint16x8 c = cv::v_expand_low(second);
  s0 = cv::v_dotprod(cv::v_reinterpret_as_s16(a), cv::v_load_aligned(weights), s0);
  s1 = cv::v_dotprod(cv::v_reinterpret_as_s16(b), cv::v_load_aligned(weights + 8), s1);
  s2 = cv::v_dotprod(cv::v_reinterpret_as_s16(c), cv::v_load_aligned(weights + 16), s2);
}

/// @param corner First of the 4 x 4 pixels; sixteen bytes can be read from each of its rows.
void Inside(const uchar* corner, std::size_t step, const short* weights, cv::Vec3b& out) {
  cv::v_int32x4 s0 = cv::v_setzero_s32(), s1 = s0, s2 = s0;
  AddRows(corner, corner + step, weights, s0, s1, s2);
  AddRows(corner + 2 * step, corner + 3 * step, weights + 24, s0, s1, s2);
  const auto sum = s0 + cv::v_extract<3>(s0, s1) + cv::v_extract<2>(s1, s2) + cv::v_extract<1>(s2, s2);
  const auto shorts = cv::v_rshr_pack<kBits>(sum, sum);
  const auto bytes = cv::v_reinterpret_as_u32(cv::v_pack_u(shorts, shorts)).get0();
  out = cv::Vec3b(static_cast<uchar>(bytes), static_cast<uchar>(bytes >> 8), static_cast<uchar>(bytes >> 16));
}

}  // namespace

void CubicRow(const cv::Mat3b& frame, const cv::Vec2s* at, const ushort* fraction, const uchar* seen, int cells,
              cv::Vec3b* out) {
  const Table& table = TheTable();
  const int last_u = frame.cols - 6, last_v = frame.rows - 4;
  for (int i = 0; i < cells; ++i) {
    if (!seen[i]) {
      out[i] = {};
      continue;
    }
    const int u = at[i][0] - 1, v = at[i][1] - 1;
    if (u >= 0 && v >= 0 && u <= last_u && v <= last_v)
      Inside(frame.ptr(v) + 3 * u, frame.step, table.paired[fraction[i]].data(), out[i]);
    else
      out[i] = AtTheRim(frame, u, v, table.window[fraction[i]]);
  }
}

}  // namespace vision::unroll
