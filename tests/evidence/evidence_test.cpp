#include "vision/evidence/evidence.h"

#include <gmock/gmock.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "fixtures/scene/scenario.h"
#include "fixtures/training/sample.h"
#include "fixtures/training/scene_subject.h"
#include "vision/evidence/network.h"
#include "vision/reading/from_evidence.h"
#include "vision/unroll/unroll.h"

namespace vision::evidence {
namespace {

/// A made-up weld that no training saw (its seeds begin at 420000), laid flat, with where its toes appear.
struct Known {
  unroll::Strip strip;
  Sight sight;
  std::shared_ptr<const fixtures::training::Sample> truth;
};

Known Make(const std::string& kind, std::uint64_t seed, double radius_mm, bool plus_z = true) {
  fixtures::scene::ScenarioOptions options;
  options.kind = kind, options.seed = seed, options.radius_mm = radius_mm;
  options.width_px = 960, options.height_px = 720, options.both_sides = !plus_z;
  const auto scenario = fixtures::scene::MakeScenario(options).value();
  const auto scene = fixtures::scene::Scene::Make(scenario.scene).value();
  const auto& view = scenario.views.back();
  const auto frame = scene.Render(view).value();
  const auto& pose = view.bore_from_cam;
  const auto grid = unroll::StripGrid::Over(radius_mm, -17.7, 17.7);
  return {
      unroll::Unroll(frame.bgr, unroll::BuildMap(view.lens, pose, grid)).value(),
      {pose.translation_mm, plus_z},
      std::make_shared<const fixtures::training::Sample>(
          fixtures::training::MakeSample(fixtures::training::SceneSubject(scene, view), frame.bgr, {}, pose).value())};
}

constexpr double kEvenRadius_mm = 45.8366;  ///< 2880 strip columns: two for each of the reader's.

double Percentile(std::vector<double> values, double share) {
  const auto at = values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
  std::nth_element(values.begin(), at, values.end());
  return *at;
}

TEST(ReadStrip, SameAnswerOnAnyNumberOfThreads) {
  const Known known = Make("unfused_left", 9001, 51);
  cv::setNumThreads(1);
  const auto one = ReadStrip(known.strip, known.sight).value();
  cv::setNumThreads(-1);
  const auto many = ReadStrip(known.strip, known.sight).value();
  EXPECT_EQ(one.near.z_mm, many.near.z_mm);
  EXPECT_EQ(one.far.u_mm, many.far.u_mm);
  EXPECT_EQ(one.unfused, many.unfused);
}

TEST(ReadStrip, ALookAgainstTheAxisIsTheMirroredLook) {
  const Known known = Make("unfused_mixed", 9002, 51);
  unroll::Strip turned = known.strip;
  for (cv::Mat* plane : {static_cast<cv::Mat*>(&turned.image), static_cast<cv::Mat*>(&turned.source_frame),
                         static_cast<cv::Mat*>(&turned.resolution_z_mm)}) {
    cv::Mat flipped;
    cv::flip(*plane, flipped, 0);
    *plane = flipped;
  }
  Sight against = known.sight;
  against.near_is_left = false;
  against.camera_mm.z() *= -1;
  const auto straight = ReadStrip(known.strip, known.sight).value(), mirrored = ReadStrip(turned, against).value();
  for (std::size_t i = 0; i < kLines; ++i) {
    ASSERT_NEAR(straight.near.z_mm[i], -mirrored.near.z_mm[i], 1e-3) << i;
    ASSERT_NEAR(straight.unfused[i], mirrored.unfused[i], 1e-3) << i;
  }
}

TEST(ReadStrip, AStripTurnedRoundTheBoreIsReadTurned) {
  const Known known = Make("unfused_left", 9003, kEvenRadius_mm);
  ASSERT_EQ(known.strip.grid.columns, 2880);
  constexpr int kTurn = 128;  // 16 degrees, 32 lines
  unroll::Strip turned = known.strip;
  for (cv::Mat* plane : {static_cast<cv::Mat*>(&turned.image), static_cast<cv::Mat*>(&turned.source_frame),
                         static_cast<cv::Mat*>(&turned.resolution_z_mm)}) {
    cv::Mat rolled;
    cv::hconcat(plane->colRange(kTurn, plane->cols), plane->colRange(0, kTurn), rolled);
    *plane = rolled;
  }
  Sight sight = known.sight;
  const double angle = 16 * bore::kRadPerDeg;  // theta falls by 16 degrees: x = -r sin, y = r cos
  const Eigen::Vector3d c = known.sight.camera_mm;
  sight.camera_mm.x() = c.x() * std::cos(angle) + c.y() * std::sin(angle);
  sight.camera_mm.y() = -c.x() * std::sin(angle) + c.y() * std::cos(angle);
  const auto as_is = ReadStrip(known.strip, known.sight).value(), round = ReadStrip(turned, sight).value();
  std::vector<double> apart;
  for (std::size_t i = 0; i < kLines; ++i)
    apart.push_back(std::abs(round.near.z_mm[i] - as_is.near.z_mm[(i + 32) % kLines]));
  EXPECT_LT(Percentile(apart, 0.5), 0.01);
  EXPECT_LT(Percentile(apart, 1.0), 0.15);  // where the wrapped columns end, the network sees a little less
}

TEST(InputOf, BesideTheSeamLieTheColumnsFromTheOtherEnd) {
  LaidFlat laid{cv::Mat3b(kWindowRows, kColumns), cv::Mat1b(kWindowRows, kColumns, uchar{255}),
                cv::Mat1f(kWindowRows, kColumns, -1.F)};
  cv::Mat1f tangent(kWindowRows, kColumns);
  for (int j = 0; j < kColumns; ++j) {
    laid.image.col(j).setTo(cv::Scalar::all(j % 251));
    tangent.col(j).setTo(static_cast<float>(j));
  }
  cv::Mat blob = InputOf(laid, tangent);
  const float* blue = blob.ptr<float>(0, 0);
  const float* oblique = blob.ptr<float>(0, 5);
  EXPECT_EQ(blob.size[3], kColumns + 160);
  EXPECT_FLOAT_EQ(oblique[0], kColumns - 80);
  EXPECT_FLOAT_EQ(oblique[80], 0);
  EXPECT_FLOAT_EQ(oblique[80 + kColumns + 5], 5);
  EXPECT_NEAR(blue[79], ((kColumns - 1) % 251 / 255.0 - 0.4) * 4, 1e-5);
}

const cv::Mat1f kMillimetres(kWindowRows, kColumns, 0.0F);  ///< A strip of pixels that span 1 mm each.

/// A network that is sure of the near toe's bin, of its being in sight or not, and of its state (logits).
Heads Sure(int near_bin, float hidden, float unfused) {
  Heads heads;
  for (auto& head : heads) head = cv::Mat1f(kBins, kLines, 0.0F);
  heads[kNearToe].row(near_bin) = 30;
  heads[kNearHidden] = 30 + hidden;
  heads[kUnfused] = unfused;
  return heads;
}

/// Against the mean and spread of two points, by hand.
TEST(MeanOf, WhatTwoNetworksDisagreeOnIsInDoubt) {
  const auto one = MeanOf({Sure(60, -9, 4), Sure(60, -9, 4)}, true, kMillimetres);
  EXPECT_LT(one.near.u_mm[7], std::hypot(0.1, TheTrust().spread_floor_px[0])) << "pixels of a millimetre";
  EXPECT_NEAR(one.unfused[7], 1 / (1 + std::exp(-4.0)), 1e-4);
  const auto two = MeanOf({Sure(60, -9, 4), Sure(70, -9, -4)}, true, kMillimetres);
  EXPECT_GE(two.near.u_mm[7], 0.999 * 10 * kBin_mm / std::sqrt(2.0));  // half lies 2 mm off the bin that was chosen
  EXPECT_NEAR(two.near.chance(7, 60), 0.5, 1e-3);
  EXPECT_NEAR(two.unfused[7], 0.5, 1e-4);
}

/// Against the root of the sum of squares, by hand.
TEST(MeanOf, APixelLeavesItsShareOpenWhereTheToeLies) {
  Heads heads = Sure(60, -9, 4);
  heads[kFarToe].row(90) = 30;
  cv::Mat1f log_resolution(kWindowRows, kColumns, -9.0F);
  const double far_mm = kFirstBin_mm + 90 * kBin_mm;
  log_resolution.row(kWindowRows / 2 + static_cast<int>(std::lround(far_mm / kRowPitch_mm))).setTo(std::log(0.8F));
  const auto fine = MeanOf({heads}, true, cv::Mat1f(kWindowRows, kColumns, -9.0F)),
             coarse = MeanOf({heads}, true, log_resolution);
  const double share = TheTrust().spread_floor_px[1];
  EXPECT_GT(share, 0);
  EXPECT_NEAR(coarse.far.u_mm[7], std::hypot(fine.far.u_mm[7], 0.8 * share), 1e-4);
  EXPECT_NEAR(coarse.near.u_mm[7], fine.near.u_mm[7], 1e-9) << "another place, finer pixels";
}

TEST(MeanOf, EachToeIsReadInItsOwnMapAndTheStateWhereTheNearOneLies) {
  Heads heads = Sure(60, -9, -4);
  heads[kFarToe].row(90) = 30;
  heads[kUnfused].row(60) = 4;
  const auto said = MeanOf({heads, heads}, true, kMillimetres);
  EXPECT_NEAR(said.near.z_mm[7], kFirstBin_mm + 60 * kBin_mm, 0.01);
  EXPECT_NEAR(said.far.z_mm[7], kFirstBin_mm + 90 * kBin_mm, 0.01);
  EXPECT_NEAR(said.unfused[7], 1 / (1 + std::exp(-4.0)), 1e-4);
}

TEST(MeanOf, AFarToeInDoubtTakesWhatItsNeighboursKnowAndASureOneKeepsItsOwn) {
  Heads heads = Sure(60, -9, 0);
  heads[kFarHidden] = 0.0F;
  for (const Head toe : {kNearToe, kFarToe}) {
    heads[toe].setTo(0), heads[toe].row(60) = 30;
    heads[toe](60, 300) = heads[toe](75, 300) = 20;     // either place
    heads[toe](60, 400) = 0, heads[toe](66, 400) = 30;  // another place, and sure of it
  }
  const auto said = MeanOf({heads, heads}, true, kMillimetres);
  EXPECT_NEAR(said.far.z_mm[300], kFirstBin_mm + 60 * kBin_mm, 0.1);
  EXPECT_LT(said.far.u_mm[300], 0.6);
  EXPECT_GT(said.far.chance(300, 60), said.far.chance(300, 75));
  EXPECT_NEAR(said.far.z_mm[400], kFirstBin_mm + 66 * kBin_mm, 0.01);
  EXPECT_GT(said.near.u_mm[300], 1.4) << "half a chance of 15 cells: 3 mm";
}

TEST(MeanOf, ANetworkThatHoldsTheToeHiddenSaysNothingOfItsPlace) {
  const auto said = MeanOf({Sure(60, -9, 0), Sure(70, 9, 0)}, false, kMillimetres);
  EXPECT_NEAR(said.near.hidden[7], 0.5, 1e-3);
  EXPECT_NEAR(said.near.z_mm[7], -(kFirstBin_mm + 60 * kBin_mm), 0.01);
  EXPECT_LT(said.near.u_mm[7], std::hypot(0.1, TheTrust().spread_floor_px[0]));
  const auto neither = MeanOf({Sure(60, 200, 0), Sure(60, 200, 0)}, true, kMillimetres);
  EXPECT_GT(neither.near.hidden[7], 0.999);
  EXPECT_TRUE(std::isfinite(neither.near.z_mm[7]));
}

/// Floors well below what is told of such scenes; truth is the scene maker's.
TEST(ReadStrip, FindsTheNearToeOfAWeldThatNoTrainingSaw) {
  for (const bool plus_z : {true, false}) {
    const Known known = Make("unfused_mixed", 9004, 77, plus_z);
    const auto said = ReadStrip(known.strip, known.sight).value();
    std::vector<double> error;
    int inside = 0;
    for (std::size_t i = 0; i < kLines; ++i) {
      const int flags = known.truth->lines[i];
      if (!(flags & fixtures::training::kNearInSight) || (flags & fixtures::training::kUncertain)) continue;
      const double z = plus_z ? said.near.z_mm[i] : -said.near.z_mm[i];
      error.push_back(std::abs(z - static_cast<double>(known.truth->near_z_mm[i])));
      inside += error.back() < 2 * said.near.u_mm[i];
    }
    ASSERT_GT(error.size(), 400U);
    EXPECT_LT(Percentile(error, 0.5), 0.2) << plus_z;
    EXPECT_LT(Percentile(error, 0.95), 0.7) << plus_z;
    EXPECT_GT(inside, 0.85 * static_cast<double>(error.size())) << plus_z;
  }
}

TEST(ReadStrip, AnUnfusedNearEdgeIsLikelierThanAFusedOne) {
  const Known known = Make("unfused_left", 9005, 51);
  const auto said = ReadStrip(known.strip, known.sight).value();
  std::vector<double> unfused, fused;
  for (std::size_t i = 0; i < kLines; ++i) {
    const int flags = known.truth->lines[i];
    if ((flags & fixtures::training::kUncertain) || !(flags & fixtures::training::kNearInSight)) continue;
    (flags & fixtures::training::kNearUnfused ? unfused : fused).push_back(said.unfused[i]);
  }
  ASSERT_GT(unfused.size(), 15U);
  EXPECT_GT(Percentile(unfused, 0.5), 0.5);
  EXPECT_LT(Percentile(fused, 0.95), 0.1);
}

/// What must not be taken for a weld.
bool WeldFoundOn(const unroll::Strip& strip, const Sight& sight) {
  bead::ToeOptions geometry;
  geometry.camera_distance_mm = std::abs(sight.camera_mm.z()), geometry.radius_mm = strip.grid.radius_mm;
  return reading::ToesFrom(ReadStrip(strip, sight).value(), strip, geometry).ok();
}

TEST(ReadStrip, ABareBoreShowsNoWeld) {
  const Known bare = Make("bare", 9006, 51);
  EXPECT_FALSE(WeldFoundOn(bare.strip, bare.sight));
  const Known weld = Make("fused", 9006, 51);
  EXPECT_TRUE(WeldFoundOn(weld.strip, weld.sight));
}

TEST(ReadStrip, APhotographThatIsNoBoreShowsNoWeld) {
  for (const char* name : {"1", "11", "15", "21"}) {
    const cv::Mat3b photograph =
        cv::imread(ROOTSCROLL_SOURCE_DIR "/fixtures/boards/fisheye_chessboard/" + std::string(name) + ".jpg");
    ASSERT_FALSE(photograph.empty());
    Known known = Make("bare", 9006, 51);
    cv::Mat3b laid;
    cv::resize(photograph, laid, known.strip.image.size());
    known.strip.image = laid;
    EXPECT_FALSE(WeldFoundOn(known.strip, known.sight)) << name;
  }
}

}  // namespace
}  // namespace vision::evidence
