#include "vision/evidence/network.h"

#include <zlib.h>

#include <mutex>
#include <opencv2/dnn.hpp>

#include "vision/evidence/model_file.h"

namespace vision::evidence {
namespace {

constexpr int kWrap = 80;

cv::Mat Plane(cv::Mat& blob, int channel) { return {blob.size[2], blob.size[3], CV_32F, blob.ptr<float>(0, channel)}; }

void PutWrapped(const cv::Mat1f& plane, int channel, cv::Mat& blob) {
  cv::Mat wide = Plane(blob, channel);
  cv::copyMakeBorder(plane, wide, 0, 0, kWrap, kWrap, cv::BORDER_WRAP);
}

/// The network's file (a gzip member, RFC 1952) laid open.
std::vector<char> Unpacked(std::span<const char> packed) {
  z_stream z{};
  std::vector<char> out(4 * packed.size());
  // zlib does not write where it reads from.
  z.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(packed.data()));
  z.avail_in = static_cast<uInt>(packed.size());
  z.next_out = reinterpret_cast<Bytef*>(out.data());
  z.avail_out = static_cast<uInt>(out.size());
  constexpr int kGzip = 16 + MAX_WBITS;
  const bool whole = inflateInit2(&z, kGzip) == Z_OK && inflate(&z, Z_FINISH) == Z_STREAM_END;
  CV_Assert(whole);
  out.resize(z.total_out);
  inflateEnd(&z);
  return out;
}

/// A cv::dnn::Net serves one caller at a time.
struct Kept {
  cv::dnn::Net net;
  std::mutex in_use;
  Kept() {
    const auto onnx = Unpacked(NetworkBytes());
    net = cv::dnn::readNetFromONNX(onnx.data(), onnx.size());
    net.setPreferableBackend(cv::dnn::DNN_BACKEND_OPENCV);
    net.setPreferableTarget(cv::dnn::DNN_TARGET_CPU);
  }
};

}  // namespace

cv::Mat InputOf(const LaidFlat& laid, const cv::Mat1f& obliquity) {
  const int sizes[] = {1, 6, laid.image.rows, laid.image.cols + 2 * kWrap};
  cv::Mat blob(4, sizes, CV_32F);
  cv::Mat1f seen, plane;
  laid.seen.convertTo(seen, CV_32F, 1.0 / 255);
  for (int c = 0; c < 3; ++c) {
    cv::Mat1b level;
    cv::extractChannel(laid.image, level, c);
    level.convertTo(plane, CV_32F, 4.0 / 255, -1.6);
    cv::multiply(plane, seen, plane);
    PutWrapped(plane, c, blob);
  }
  PutWrapped(seen, 3, blob);
  cv::multiply(laid.log_resolution, seen, plane);
  cv::add(plane, seen, plane);
  PutWrapped(plane, 4, blob);
  PutWrapped(obliquity, 5, blob);
  return blob;
}

std::vector<cv::Mat1f> RunNetwork(const cv::Mat& input) {
  static Kept kept;
  const std::lock_guard lock(kept.in_use);
  kept.net.setInput(input);
  cv::Mat out = kept.net.forward();
  std::vector<cv::Mat1f> heads;
  for (int k = 0; k < kHeads; ++k)
    heads.emplace_back(Plane(out, k).colRange(kWrap / 2, out.size[3] - kWrap / 2).clone());
  return heads;
}

}  // namespace vision::evidence
