#include "vision/camera/projector.h"

#include <gtest/gtest.h>

#include <random>

namespace vision::camera {
namespace {

Lens Made(LensModel model, double max_angle_deg) {
  Lens lens;
  lens.model = model;
  lens.width_px = 1280, lens.height_px = 960;
  lens.fx_px = 340, lens.fy_px = 338, lens.cx_px = 640, lens.cy_px = 470;
  if (model == LensModel::kKannalaBrandt) lens.distortion = {0.03, -0.012, 0.002, -0.0004};
  if (model == LensModel::kPinhole) lens.distortion = {0.004, 0.0002, 0.0002, -0.0001, 0};
  if (model == LensModel::kOmni) lens.xi = 1, lens.distortion = {-0.05, 0.005, 0.0003, -0.0002};
  lens.max_angle_deg = max_angle_deg;
  return lens;
}

/// The lens's own answer to the last bit, in sight, out of sight and close to the edge.
TEST(Projector, AnswersAsTheLensDoes) {
  for (const auto model : {LensModel::kEquidistant, LensModel::kKannalaBrandt, LensModel::kPinhole, LensModel::kOmni})
    for (const double max_angle_deg : {60.0, 82.0, 90.0, 120.0}) {
      const Lens lens = Made(model, max_angle_deg);
      const Projector projector(lens);
      std::mt19937 random(3);
      std::uniform_real_distribution<double> turn(0, 6.283), far(1, 400), angle(0, 180), near(-1e-9, 1e-9);
      int seen = 0;
      for (int i = 0; i < 4000; ++i) {
        const double t = turn(random), d = far(random),
                     a = (i % 2 ? angle(random) : max_angle_deg + near(random)) * bore::kRadPerDeg;
        const Eigen::Vector3d x(d * std::sin(a) * std::cos(t), d * std::sin(a) * std::sin(t), d * std::cos(a));
        const auto wanted = lens.Project(x), got = projector.Project(x);
        ASSERT_EQ(wanted.has_value(), got.has_value()) << max_angle_deg << " " << x.transpose();
        if (wanted) {
          ASSERT_EQ(*wanted, *got);
        }
        seen += wanted.has_value();
      }
      EXPECT_GT(seen, 500);
      EXPECT_LT(seen, 3900);
    }
}

}  // namespace
}  // namespace vision::camera
