#include "vision/network/packed_network.h"

#include <zlib.h>

#include <vector>

namespace vision::network {
namespace {

std::vector<char> Unpacked(std::span<const char> packed) {
  z_stream z{};
  std::vector<char> out(4 * packed.size());
  // zlib does not write where it reads from.
  z.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(packed.data()));
  z.avail_in = static_cast<uInt>(packed.size());
  z.next_out = reinterpret_cast<Bytef*>(out.data());
  z.avail_out = static_cast<uInt>(out.size());
  constexpr int kGzip = 16 + MAX_WBITS;  ///< Format: a gzip header is expected.
  const bool whole = inflateInit2(&z, kGzip) == Z_OK && inflate(&z, Z_FINISH) == Z_STREAM_END;
  CV_Assert(whole);
  out.resize(z.total_out);
  inflateEnd(&z);
  return out;
}

}  // namespace

PackedNetwork::PackedNetwork(std::span<const char> packed) {
  const auto onnx = Unpacked(packed);
  net_ = cv::dnn::readNetFromONNX(onnx.data(), onnx.size());
  net_.setPreferableBackend(cv::dnn::DNN_BACKEND_OPENCV);
  net_.setPreferableTarget(cv::dnn::DNN_TARGET_CPU);
}

cv::Mat PackedNetwork::Run(const cv::Mat& input) {
  const std::lock_guard lock(in_use_);
  net_.setInput(input);
  return net_.forward().clone();
}

}  // namespace vision::network
