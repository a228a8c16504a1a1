#include "vision/evidence/network.h"

#include "vision/evidence/model_file.h"
#include "vision/network/packed_network.h"

namespace vision::evidence {
namespace {

constexpr int kWrap = 80;  ///< Format: the network's input.

cv::Mat Plane(cv::Mat& blob, int channel) { return {blob.size[2], blob.size[3], CV_32F, blob.ptr<float>(0, channel)}; }

void PutWrapped(const cv::Mat1f& plane, int channel, cv::Mat& blob) {
  cv::Mat wide = Plane(blob, channel);
  cv::copyMakeBorder(plane, wide, 0, 0, kWrap, kWrap, cv::BORDER_WRAP);
}

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

std::vector<Heads> RunNetworks(const cv::Mat& input) {
  static std::array<network::PackedNetwork, kNetworks> kept{network::PackedNetwork(NetworkBytes(0)),
                                                            network::PackedNetwork(NetworkBytes(1))};
  std::vector<Heads> said;
  for (auto& net : kept) {
    cv::Mat out = net.Run(input);
    Heads& heads = said.emplace_back();
    for (int k = 0; k < kHeads; ++k)
      heads[static_cast<std::size_t>(k)] = Plane(out, k).colRange(kWrap / 2, out.size[3] - kWrap / 2).clone();
  }
  return said;
}

}  // namespace vision::evidence
