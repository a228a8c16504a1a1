#include <gtest/gtest.h>

#include <cmath>
#include <cstring>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "tests/field/plain.h"

namespace fixtures::field {
namespace {

bool SameBytes(const cv::Mat& a, const cv::Mat& b) {
  return a.size() == b.size() && std::memcmp(a.data, b.data, a.total() * a.elemSize()) == 0;
}

Frame Rendered(std::uint64_t seed, int threads, const Wishes& wishes) {
  const FieldDraw d = DrawField(seed, wishes);
  RenderOptions how;
  how.threads = threads;
  return Scene::Make(d.scene).value().Render(d.views[0], how).value();
}

TEST(Render, SameSeedGivesTheSameBytesForAnyNumberOfThreads) {
  const Wishes wishes{.recording = "look", .only = {"hoses"}, .width_px = 320};
  const int before = cv::getNumThreads();
  cv::setNumThreads(1);
  const Frame one = Rendered(5, 1, wishes);
  cv::setNumThreads(8);
  const Frame eight = Rendered(5, 8, wishes);
  cv::setNumThreads(before);
  EXPECT_TRUE(SameBytes(one.bgr, eight.bgr));
  EXPECT_TRUE(SameBytes(one.seen, eight.seen));
  EXPECT_FALSE(SameBytes(one.bgr, Rendered(6, 1, wishes).bgr));
}

/// What a strip about the weld is cut from is painted as ever; the rest is told by one pixel in nine.
TEST(Render, FineNearTheWeldIsTheSamePictureThere) {
  const FieldDraw d = DrawField(5, {.recording = "look", .only = {"hoses", "dam"}, .width_px = 320});
  const Scene scene = Scene::Make(d.scene).value();
  RenderOptions how;
  how.supersample = 1;
  const Radiance all = scene.Cast(d.views[0], how);
  how.fine_within_mm = 30;
  const Radiance some = scene.Cast(d.views[0], how);
  int near = 0, off = 0, far = 0, spread = 0;
  for (int v = 0; v < all.seen.rows; ++v)
    for (int u = 0; u < all.seen.cols; ++u) {
      const float z = all.z_mm(v, u);
      if (std::abs(z) < 29)
        ++near, off += all.rgb(v, u) != some.rgb(v, u);
      else if (z > 40)
        ++far, spread += all.rgb(v, u) != some.rgb(v, u);
    }
  EXPECT_GT(near, 3000);
  EXPECT_EQ(off, 0);
  EXPECT_GT(spread, far / 2);
}

TEST(Render, EveryConditionGivesAPictureWithAWallInIt) {
  for (const auto& condition : Conditions()) {
    const FieldDraw d = DrawField(31, {.recording = "look", .only = {condition}, .width_px = 240});
    const Frame frame = Scene::Make(d.scene).value().Render(d.views[0]).value();
    EXPECT_TRUE(d.Has(condition));
    cv::Scalar mean, deviation;
    cv::meanStdDev(frame.bgr, mean, deviation);
    EXPECT_GT(mean[1], 8) << condition;
    EXPECT_GT(deviation[1], 4) << condition;
    EXPECT_GT(cv::countNonZero(frame.seen == static_cast<uchar>(Seen::kWall)), 2000) << condition;
  }
}

/// Things asked for are in sight: hose, dam, tool and elbow each take their share of some picture of ten.
TEST(Render, ThingsAskedForAreSeen) {
  const std::pair<const char*, Seen> things[] = {{"hoses", Seen::kHose},
                                                 {"dam", Seen::kDam},
                                                 {"tool", Seen::kTool},
                                                 {"elbow", Seen::kElbow},
                                                 {"text", Seen::kText}};
  for (const auto& [condition, seen] : things) {
    int shown = 0;
    for (std::uint64_t seed = 40; seed < 46; ++seed) {
      const FieldDraw d = DrawField(seed, {.recording = "look", .only = {condition}, .width_px = 160});
      const Frame f = Scene::Make(d.scene).value().Render(d.views[0]).value();
      shown += cv::countNonZero(f.seen == static_cast<uchar>(seen)) > 20;
    }
    EXPECT_GE(shown, 4) << condition;
  }
}

/// A camera that slides 2 mm along z while the shutter is open smears a mark on the wall by what two sharp pictures,
/// one before and one after, say.
TEST(Expose, MotionSmearsAsFarAsThePlaceMoves) {
  SceneOptions o = PlainScene(40, false);
  o.look.layers.clear();
  o.look.turned = {{0, 0.8, 0, 0, 2.0F}};
  o.capture.shot_noise = o.capture.read_noise = 0, o.capture.psf_px = 0, o.capture.bloom = 0, o.capture.vignette = 0;
  o.capture.gamma = 1, o.capture.target = 0.2;
  const auto scene = Scene::Make(o).value();
  View view = PlainView(0, 0, -40, 640);
  const auto width = [&](const View& v) {  // area over height of the bright circle, to the right of the middle
    const Frame f = scene.Render(v, {.threads = 0, .supersample = 2, .compressed = false}).value();
    double sum = 0, best = 0;
    for (int u = 445; u <= 495; ++u) {
      const double base = f.bgr(239, 445)[1] + (f.bgr(239, 495)[1] - f.bgr(239, 445)[1]) * (u - 445) / 50.0;
      sum += f.bgr(239, u)[1] - base, best = std::max(best, f.bgr(239, u)[1] - base);
    }
    return sum / best;
  };
  const double sharp = width(view);
  view.slide_mm = {0, 0, 4};
  const double f = 0.3 * 640,
               moves = f * (std::atan(40.0 / 38) - std::atan(40.0 / 42));  // angle from 2 mm nearer and farther
  EXPECT_GT(moves, 7);
  EXPECT_NEAR(width(view), std::max(sharp, moves), 0.3 * moves);
  EXPECT_LT(sharp, 0.6 * moves);
}

/// The loss of CompressLike against the library's encoder at the same quality, brightness and colour apart: the pixels
/// are nearer to the library's than half of what is lost, and as much is lost. The picture: a frame with coloured
/// clouds on it.
TEST(CompressLike, LosesWhatTheLibrarysEncoderLoses) {
  const FieldDraw d = DrawField(7, {.recording = "look", .only = {"dam"}, .width_px = 320});
  cv::Mat3b before = Scene::Make(d.scene).value().Render(d.views[0], {.compressed = false}).value().bgr;
  cv::Mat3b clouds(before.rows / 5, before.cols / 5), large;
  cv::RNG(5).fill(clouds, cv::RNG::UNIFORM, 0, 255);
  cv::resize(clouds, large, before.size(), 0, 0, cv::INTER_CUBIC);
  cv::addWeighted(before, 0.6, large, 0.4, 0, before);
  const auto planes = [](const cv::Mat3b& bgr) {
    cv::Mat ycc;
    cv::cvtColor(bgr, ycc, cv::COLOR_BGR2YCrCb);
    std::vector<cv::Mat> parts;
    cv::split(ycc, parts);
    return parts;
  };
  for (const int quality : {35, 60, 90}) {
    std::vector<uchar> bytes;
    cv::imencode(".jpg", before, bytes, {cv::IMWRITE_JPEG_QUALITY, quality});
    cv::Mat3b ours = before.clone();
    CompressLike(quality, &ours);
    const auto was = planes(before), theirs = planes(cv::imdecode(bytes, cv::IMREAD_COLOR)), mine = planes(ours);
    for (std::size_t k = 0; k < 3; ++k) {
      const auto apart = [](const cv::Mat& a, const cv::Mat& b) {
        return cv::norm(a, b, cv::NORM_L1) / static_cast<double>(a.total());
      };
      const double lost = apart(theirs[k], was[k]);
      EXPECT_GT(lost, 0.3);
      EXPECT_LT(apart(mine[k], theirs[k]), 0.5 * lost) << quality << " plane " << k;
      EXPECT_NEAR(apart(mine[k], was[k]), lost, 0.12 * lost) << quality << " plane " << k;
    }
  }
}

}  // namespace
}  // namespace fixtures::field
