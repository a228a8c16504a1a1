#include "vision/pose/stand_reader.h"

#include <Eigen/LU>
#include <algorithm>
#include <cmath>

#include "vision/bore/angle.h"
#include "vision/network/packed_network.h"
#include "vision/pose/stand_strip.h"

ROOTSCROLL_EMBED(rootscroll_stand_network, ROOTSCROLL_STAND_NETWORK)

namespace vision::pose {
namespace {

// What the network says (scripts/stand/net.py).
constexpr int kBlocks = 45, kOfABlock = 14;           ///< Format: the network's output.
constexpr double kPrior = 0.04;                       ///< Information at no evidence, in these units:
const Eigen::Vector4d kUnit(0.02, 0.02, 0.05, 0.05);  ///< Format: the network's output.

double Softplus(double x) { return std::max(x, 0.0) + std::log1p(std::exp(-std::abs(x))); }

/// Adds what one camera's blocks say, in units.
void AddUp(const float* said, Eigen::Matrix4d* information, Eigen::Vector4d* vector) {
  Eigen::Matrix4d all = Eigen::Matrix4d::Zero();
  Eigen::Vector4d towards = Eigen::Vector4d::Zero();
  for (int n = 0; n < kBlocks; ++n) {
    const auto at = [&](int k) { return static_cast<double>(said[k * kBlocks + n]); };
    const double phi = 2 * std::numbers::pi * (n + 0.5) / kBlocks, c = std::cos(phi), s = std::sin(phi);
    Eigen::Matrix4d lower = Eigen::Matrix4d::Zero(), turn = lower;
    for (int k = 0; k < 4; ++k) lower(k, k) = Softplus(at(k));
    for (int k = 0, row = 1; row < 4; ++row)
      for (int column = 0; column < row; ++column, ++k) lower(row, column) = at(4 + k);
    for (const int k : {0, 2}) turn.block<2, 2>(k, k) << c, -s, s, c;
    const Eigen::Matrix4d root = turn * lower;
    all += root * root.transpose() / kBlocks;
    towards += turn * Eigen::Vector4d(at(10), at(11), at(12), at(13)) / kBlocks;
  }
  const double scale = std::exp(std::clamp(static_cast<double>(said[kBlocks * kOfABlock + kWeldRows + 1]), -6.0, 6.0));
  *information += scale * all;
  *vector += scale * towards;
}

}  // namespace

double StandRead::TiltUDeg() const {
  if (!(information.determinant() > 0)) return INFINITY;
  const Eigen::Matrix4d covariance = information.inverse();
  return std::sqrt(covariance(0, 0) + covariance(1, 1)) * bore::kDegPerRad;
}

double StandRead::LnWeldAt(double distance) const {
  const double angle = std::atan2(1.0, distance) * bore::kDegPerRad;
  const double row = (kStandToDeg - angle) / (kStandToDeg - kStandFromDeg) * kWeldRows - 0.5;
  double sum = 0;  // over the rows beside it: the reader's own breadth
  for (int k = 0; k < kWeldRows; ++k)
    sum += weld[static_cast<std::size_t>(k)] * std::max(0.0, 1.5 - std::abs(k - row)) / 1.5;
  return std::log(std::max(sum, 1e-4) * kWeldRows);
}

StandRead ReadStand(const std::vector<WallView>& views, const Eigen::Vector4d& about) {
  static network::PackedNetwork net({rootscroll_stand_network_begin, rootscroll_stand_network_end});
  Eigen::Matrix4d information = kPrior * Eigen::Matrix4d::Identity();
  Eigen::Vector4d vector = Eigen::Vector4d::Zero();
  std::array<double, kWeldRows + 1> logits{};
  for (const WallView& view : views) {
    const cv::Mat out = net.Run(StandInput(UnrollAbout(view, about.head<2>(), about.tail<2>())));
    const auto* said = out.ptr<float>();
    AddUp(said, &information, &vector);
    for (int k = 0; k <= kWeldRows; ++k)
      logits[static_cast<std::size_t>(k)] +=
          static_cast<double>(said[kBlocks * kOfABlock + k]) / static_cast<double>(views.size());
  }
  StandRead read;
  const Eigen::Vector4d step = information.inverse() * vector;
  read.mean = about + step.cwiseProduct(kUnit);
  const Eigen::Matrix4d per_unit = kUnit.cwiseInverse().asDiagonal();
  read.information = per_unit * information * per_unit;
  const double top = *std::max_element(logits.begin(), logits.end());
  double sum = 0;
  for (std::size_t k = 0; k < logits.size(); ++k) sum += read.weld[k] = std::exp(logits[k] - top);
  for (double& chance : read.weld) chance /= sum;
  return read;
}

std::string StandReaderNamed() { return "stand_reader 1 (sha256 " ROOTSCROLL_STAND_SHA256 ")"; }

}  // namespace vision::pose
