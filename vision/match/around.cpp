#include "vision/match/around.h"

#include <Eigen/Cholesky>
#include <Eigen/Core>
#include <cmath>

#include "vision/bore/angle.h"
#include "vision/statistics/harmonics.h"

namespace vision::match {
namespace {

constexpr double kAgree_mm = 0.6;

using Vector5 = Eigen::Matrix<double, 5, 1>;

/// Least squares with a mild pull of the harmonics to zero, so that a long gap cannot make them swing.
AroundBore Fit(const std::vector<AroundSample>& samples, double AroundSample::*value, double scale_mm) {
  Eigen::Matrix<double, 5, 5> normal = Eigen::Matrix<double, 5, 5>::Zero();
  normal.diagonal() << 1e-6, 0.02, 0.02, 0.1, 0.1;
  Vector5 right = Vector5::Zero(), c = Vector5::Zero();
  AroundBore around;
  for (int round = 0; round < 6; ++round) {
    Eigen::Matrix<double, 5, 5> n = normal;
    right.setZero();
    for (const auto& sample : samples) {
      const Vector5 basis = statistics::Harmonics<2>(sample.theta_deg);
      const double off = sample.*value - basis.dot(c);
      const double weight = sample.correlation / (round == 0 ? 1 : std::max(1.0, std::abs(off) / scale_mm));
      n += weight * basis * basis.transpose();
      right += weight * (sample.*value) * basis;
    }
    c = n.ldlt().solve(right);
  }
  Eigen::Map<Vector5>(around.c.data()) = c;
  return around;
}

/// Samples whose neighbours within 60 degrees mostly shift alike: a smooth function moves by no more over such an arc.
std::vector<AroundSample> Alike(const std::vector<AroundSample>& samples) {
  std::vector<AroundSample> alike;
  for (const auto& one : samples) {
    int near = 0, agree = 0;
    for (const auto& other : samples) {
      const double apart = std::abs(bore::Wrap180(one.theta_deg - other.theta_deg));
      if (&one == &other || apart > 60) continue;
      ++near;
      agree += std::hypot(one.arc_mm - other.arc_mm, one.z_mm - other.z_mm) < 0.35 + 0.025 * apart;
    }
    if (near >= 3 && 2 * agree >= near) alike.push_back(one);
  }
  return alike;
}

}  // namespace

bool FitAround(const std::vector<AroundSample>& samples, AroundBore* arc_mm, AroundBore* z_mm,
               std::vector<AroundSample>* kept) {
  std::vector<AroundSample> use = Alike(samples);
  for (int round = 0; round < 3; ++round) {
    if (use.size() < 8) return false;
    *arc_mm = Fit(use, &AroundSample::arc_mm, 0.15);
    *z_mm = Fit(use, &AroundSample::z_mm, 0.15);
    use.clear();
    for (const auto& s : samples)
      if (std::hypot(s.arc_mm - arc_mm->At(s.theta_deg), s.z_mm - z_mm->At(s.theta_deg)) < kAgree_mm) use.push_back(s);
  }
  *kept = use;
  return use.size() >= 8;
}

}  // namespace vision::match
