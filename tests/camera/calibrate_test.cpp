#include "vision/camera/calibrate.h"

#include <gtest/gtest.h>

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <random>
#include <stop_token>

namespace vision::camera {
namespace {

constexpr double kRad = M_PI / 180;
const Board kBoard{BoardKind::kChessboard, 8, 6, 10};

Lens Pinhole() { return {LensModel::kPinhole, 1280, 960, 900, 900, 646, 471, 0, {-0.2, 0.06, 0.0006, -0.0004, 0}, 44}; }
Lens KannalaBrandt() {
  return {LensModel::kKannalaBrandt, 960, 960, 270, 270, 471, 486, 0, {-0.03, 0.012, -0.006, 0.0008}, 100};
}
Lens Omni() { return {LensModel::kOmni, 960, 960, 700, 700, 488, 470, 1.3, {-0.2, 0.03, 0.0008, -0.0005}, 95}; }
Lens Equidistant() { return {LensModel::kEquidistant, 1280, 960, 311, 311, 633, 488, 0, {}, 88}; }

struct Scene {
  double noise_px = 0.1, tilt_rad = 0.6;
  int views = 14;
  unsigned seed = 3;
};

/// Views of the board seen whole, spread over the picture circle, by rejection; the lens's projection is checked
/// against OpenCV's in lens_test.cpp.
std::vector<BoardView> Photograph(const Lens& lens, const Scene& scene) {
  std::mt19937 random(scene.seed);
  std::uniform_real_distribution<double> unit(-1, 1);
  std::normal_distribution<double> noise(0, scene.noise_px);
  std::vector<BoardView> views;
  while (static_cast<int>(views.size()) < scene.views) {
    const double off = lens.max_angle_deg * kRad * 0.9 * std::abs(unit(random)), around = M_PI * unit(random);
    const Eigen::Vector3d axis(std::sin(off) * std::cos(around), std::sin(off) * std::sin(around), std::cos(off));
    const Eigen::Matrix3d facing =
        Eigen::Quaterniond::FromTwoVectors(Eigen::Vector3d::UnitZ(), axis).toRotationMatrix();
    const Eigen::Matrix3d tilt = (Eigen::AngleAxisd(scene.tilt_rad * unit(random), Eigen::Vector3d::UnitX()) *
                                  Eigen::AngleAxisd(scene.tilt_rad * unit(random), Eigen::Vector3d::UnitY()) *
                                  Eigen::AngleAxisd(3 * unit(random), Eigen::Vector3d::UnitZ()))
                                     .toRotationMatrix();
    const Eigen::Matrix3d turned = scene.tilt_rad > 0 ? Eigen::Matrix3d(facing * tilt) : Eigen::Matrix3d::Identity();
    const double away = (lens.model == LensModel::kPinhole ? 110 : 55) * (1 + 0.4 * unit(random));
    BoardView view{"view " + std::to_string(views.size()), {}};
    for (const auto& b : kBoard.PointsMm()) {
      const Eigen::Vector3d p = away * axis + turned * Eigen::Vector3d(b.x() - 35, b.y() - 25, 0);
      const auto pixel = lens.Project(p);
      if (!pixel || !lens.Sees(*pixel)) break;
      view.corners_px.emplace_back(pixel->x() + noise(random), pixel->y() + noise(random));
    }
    if (view.corners_px.size() == 48 && std::all_of(view.corners_px.begin(), view.corners_px.end(), [&](const auto& c) {
          return c.minCoeff() > 0 && c.x() < lens.width_px - 1 && c.y() < lens.height_px - 1;
        }))
      views.push_back(std::move(view));
  }
  return views;
}

CalibrationOptions Options(std::vector<LensModel> models = CalibrationOptions{}.models) {
  CalibrationOptions options;
  options.board = kBoard;
  options.models = std::move(models);
  return options;
}

/// Largest distance between where two lenses show the same sight, up to `max_deg` from the axis. A calibration may
/// trade a small turn of the camera against its centre, so each lens's radius is taken from its own centre.
double WorstRadius(const Lens& a, const Lens& b, double max_deg) {
  double worst = 0;
  for (double deg = 1; deg < max_deg; deg += 0.5) {
    const auto radius = [deg](const Lens& lens) {
      double mean = 0;
      for (int i = 0; i < 8; ++i) {
        const double c = std::cos(i * M_PI / 4), s = std::sin(i * M_PI / 4);
        const auto pixel = lens.Project({std::sin(deg * kRad) * c, std::sin(deg * kRad) * s, std::cos(deg * kRad)});
        mean += pixel ? (*pixel - Eigen::Vector2d(lens.cx_px, lens.cy_px)).norm() / 8 : 1e9;
      }
      return mean;
    };
    worst = std::max(worst, std::abs(radius(a) - radius(b)));
  }
  return worst;
}

class KnownLens : public ::testing::TestWithParam<Lens> {};

TEST_P(KnownLens, ComesBackExactlyFromCornersWithoutNoise) {
  const Lens truth = GetParam();
  const auto result =
      Calibrate(Photograph(truth, {.noise_px = 0}), truth.width_px, truth.height_px, Options({truth.model}));
  ASSERT_TRUE(result.ok()) << result.error().message;
  const auto& report = result.value();
  EXPECT_LE(report.rms_px, 1e-3);
  EXPECT_LE(WorstRadius(report.lens, truth, report.seen_to_deg), 0.01);
  EXPECT_NEAR(report.lens.cx_px, truth.cx_px, 0.01);
  EXPECT_NEAR(report.lens.cy_px, truth.cy_px, 0.01);
}

TEST_P(KnownLens, ComesBackWithinItsNoise) {
  // 14 x 48 corners with 0.1 px: the fit's own standard uncertainties say how near it must come (4 of them, 1 in
  // 16 000 by chance); the curve may be off by 3 sigma of one corner; rms is 0.1 * sqrt 2 less the freedom used up.
  const Lens truth = GetParam();
  const auto result = Calibrate(Photograph(truth, {}), truth.width_px, truth.height_px, Options({truth.model}));
  ASSERT_TRUE(result.ok()) << result.error().message;
  const auto& report = result.value();
  EXPECT_EQ(report.ViewsUsed(), 14);
  EXPECT_NEAR(report.rms_px, 0.1414, 0.010);
  EXPECT_LE(std::abs(report.middle_px - truth.fx_px / (1 + truth.xi)), 4 * report.middle_u_px);
  EXPECT_LE(std::abs(report.lens.cx_px - truth.cx_px), 4 * report.centre_u_px);
  EXPECT_LE(std::abs(report.lens.cy_px - truth.cy_px), 4 * report.centre_u_px);
  EXPECT_LT(report.middle_u_px, 0.005 * report.middle_px) << "an uncertainty that excuses everything is none";
  EXPECT_LE(WorstRadius(report.lens, truth, report.seen_to_deg), 0.3);
}

TEST_P(KnownLens, IsChosenAmongTheModels) {
  const Lens truth = GetParam();
  const auto result =
      Calibrate(Photograph(truth, {}), truth.width_px, truth.height_px,
                Options({LensModel::kPinhole, LensModel::kKannalaBrandt, LensModel::kOmni, LensModel::kEquidistant}));
  ASSERT_TRUE(result.ok()) << result.error().message;
  EXPECT_EQ(result.value().lens.model, truth.model) << result.value().choice;
}

INSTANTIATE_TEST_SUITE_P(Models, KnownLens, ::testing::Values(Pinhole(), KannalaBrandt(), Omni(), Equidistant()),
                         [](const auto& one) { return NameOf(one.param.model); });

TEST(Calibrate, UncertaintyOfTheScaleAgreesWithRepeating) {
  // 40 repetitions with fresh noise over the same poses would need equal poses; fresh poses as well: the mean of
  // squared (error / stated uncertainty) is 1, its standard deviation over 40 draws 0.22; 0.4 to 1.9 is 3 to 4 of them.
  double sum = 0;
  for (unsigned seed = 1; seed <= 40; ++seed) {
    const auto result =
        Calibrate(Photograph(KannalaBrandt(), {.seed = seed}), 960, 960, Options({LensModel::kKannalaBrandt}));
    ASSERT_TRUE(result.ok()) << result.error().message;
    sum += std::pow((result.value().middle_px - 270) / result.value().middle_u_px, 2);
  }
  EXPECT_GT(sum / 40, 0.4);
  EXPECT_LT(sum / 40, 1.9);
}

TEST(Calibrate, RefusesTheViewThatDoesNotFitAndSaysWhy) {
  auto views = Photograph(KannalaBrandt(), {});
  std::swap(views[4].corners_px[3], views[4].corners_px[20]);
  views[7].corners_px.pop_back();
  views[9].corners_px[0] = {-30, 5};
  const auto result = Calibrate(views, 960, 960, Options());
  ASSERT_TRUE(result.ok()) << result.error().message;
  const auto& report = result.value();
  EXPECT_EQ(report.ViewsUsed(), 11);
  EXPECT_FALSE(report.views[4].used);
  EXPECT_NE(report.views[4].reason.find("px (rms) off"), std::string::npos) << report.views[4].reason;
  EXPECT_NE(report.views[7].reason.find("47 corners instead of 48"), std::string::npos);
  EXPECT_NE(report.views[9].reason.find("outside the picture"), std::string::npos);
  EXPECT_LE(report.rms_px, 0.16);
}

TEST(Calibrate, RefusesNaNCorners) {
  auto views = Photograph(KannalaBrandt(), {});
  views[2].corners_px[5].x() = std::nan("");
  const auto result = Calibrate(views, 960, 960, Options());
  ASSERT_TRUE(result.ok()) << result.error().message;
  EXPECT_FALSE(result.value().views[2].used);
}

TEST(Calibrate,
     NeedsTiltedBoards) {  // a board that always stands square to the axis leaves focal length and distance open
  const auto result = Calibrate(Photograph(Pinhole(), {.tilt_rad = 0}), 1280, 960, Options({LensModel::kPinhole}));
  ASSERT_FALSE(result.ok());
  EXPECT_NE(result.error().message.find("tilt the board"), std::string::npos) << result.error().message;
}

TEST(Calibrate, NeedsEnoughViews) {
  const auto result = Calibrate(Photograph(Pinhole(), {.views = 3}), 1280, 960, Options());
  ASSERT_FALSE(result.ok());
  EXPECT_EQ(result.error().code, ErrorCode::kNotFound);
  EXPECT_NE(result.error().message.find("3 pictures; at least 4"), std::string::npos) << result.error().message;
  EXPECT_FALSE(Calibrate(std::vector<NamedPicture>{}, Options()).ok());
}

TEST(Calibrate, RefusesPicturesOneByOne) {
  const std::vector<NamedPicture> pictures{{"flat.png", cv::Mat(100, 100, CV_8U, cv::Scalar(9))}, {"gone.png", {}}};
  const auto result = Calibrate(pictures, Options());
  ASSERT_FALSE(result.ok());
  EXPECT_EQ(result.error().code, ErrorCode::kNotFound);
}

TEST(Calibrate, StopsWhenAsked) {
  std::stop_source stop;
  const JobContext job(stop.get_token(), [&](double, std::string_view) { stop.request_stop(); });
  EXPECT_TRUE(Calibrate(Photograph(Pinhole(), {}), 1280, 960, Options(), job).cancelled());
}

TEST(Calibrate, ReportsProgressThatOnlyGrows) {
  double last = 0;
  const JobContext job({}, [&](double fraction, std::string_view) {
    EXPECT_GE(fraction, last);
    last = fraction;
  });
  ASSERT_TRUE(Calibrate(Photograph(Pinhole(), {}), 1280, 960, Options(), job).ok());
  EXPECT_NEAR(last, 1, 1e-12);
}

TEST(Calibrate, TakesTheEdgeFromTheCornersUnlessGiven) {
  const auto views = Photograph(KannalaBrandt(), {});
  auto options = Options({LensModel::kKannalaBrandt});
  const auto seen = Calibrate(views, 960, 960, options);
  ASSERT_TRUE(seen.ok());
  double widest = 0;  // of the true lens's sights; 0.1 px is 0.02 degrees
  for (const auto& view : views)
    for (const auto& c : view.corners_px) {
      Lens truth = KannalaBrandt();
      truth.max_angle_deg = 110;
      widest = std::max(widest, std::acos(truth.Ray(c)->z()) / kRad);
    }
  EXPECT_NEAR(seen.value().lens.max_angle_deg, widest, 0.1);
  EXPECT_LE(widest, 100);
  options.max_angle_deg = widest + 2;
  const auto given = Calibrate(views, 960, 960, options);
  ASSERT_TRUE(given.ok()) << given.error().message;
  EXPECT_DOUBLE_EQ(given.value().lens.max_angle_deg, widest + 2);
  EXPECT_NE(given.value().max_angle_source.find("extrapolated"), std::string::npos);
}

TEST(CalibrationOptionsCheck, NamesTheField) {
  const auto message = [](auto change) {
    auto options = Options();
    change(options);
    const auto error = options.Check();
    return error ? error->message : "";
  };
  using O = CalibrationOptions;
  EXPECT_EQ(message([](O&) {}), "");
  EXPECT_NE(message([](O& o) { o.board.rows = 0; }).find("rows"), std::string::npos);
  EXPECT_NE(message([](O& o) { o.models.clear(); }).find("models"), std::string::npos);
  EXPECT_NE(message([](O& o) { o.min_views = 2; }).find("min_views"), std::string::npos);
  EXPECT_NE(message([](O& o) { o.max_angle_deg = 180; }).find("max_angle_deg"), std::string::npos);
  EXPECT_NE(message([](O& o) { o.view_rms_limit_px = std::nan(""); }).find("view_rms_limit_px"), std::string::npos);
}

TEST(CameraBlockJson, HoldsTheLensAsTheJointFileNamesIt) {
  CalibrationReport report;
  report.lens = Omni();
  report.board = kBoard;
  const auto text = CameraBlockJson(report, {"head", "2026-03-04", "SN 17"});
  ASSERT_TRUE(text.ok());
  const auto block = nlohmann::json::parse(text.value());
  const auto want = nlohmann::json::parse(R"({"id": "head", "model": "omni", "width": 960, "height": 960, "fx": 700.0,
    "fy": 700.0, "cx": 488.0, "cy": 470.0, "xi": 1.3, "distortion": [-0.2, 0.03, 0.0008, -0.0005],
    "max_angle_deg": 95.0, "calibration": {"date": "2026-03-04", "target": "chessboard, 8 x 6 inner corners, 10 mm",
    "lens_serial": "SN 17"}})");
  EXPECT_EQ(block, want) << text.value();
}

TEST(CameraBlockJson, RefusesHalfFacts) {
  CalibrationReport report;
  report.lens = Equidistant();
  report.board = kBoard;
  EXPECT_TRUE(CameraBlockJson(report, {"head", "2026-03-04", ""}).ok());
  EXPECT_FALSE(CameraBlockJson(report, {"", "2026-03-04", ""}).ok());
  EXPECT_FALSE(CameraBlockJson(report, {"head", "4 March", ""}).ok());
  EXPECT_FALSE(CameraBlockJson(report, {"head", "2026-13-04", ""}).ok());
  report.lens.fx_px = 0;
  EXPECT_FALSE(CameraBlockJson(report, {"head", "2026-03-04", ""}).ok());
}

}  // namespace
}  // namespace vision::camera
