#include "tests/viewer/film.h"

#include <gtest/gtest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>

#include "vision/base/file.h"

namespace viewer_test {
namespace fs = std::filesystem;
using vision::scan::Shows;

namespace {

constexpr double kFps = 10;
const fs::path kDemo = fs::path(ROOTSCROLL_SOURCE_DIR) / "fixtures" / "demo";

std::vector<cv::Mat3b> Push() {
  cv::VideoCapture push((kDemo / "push.avi").string(), cv::CAP_FFMPEG);
  std::vector<cv::Mat3b> frames;
  for (cv::Mat image; push.read(image);) frames.emplace_back(image.clone());
  return frames;
}

/// A bare wall with marks drawn out along the axis (a drawn tube), darker the farther away; no ring. The camera turns.
class BareWall {
 public:
  BareWall() : marks_(1, 720), column_(720, 960), light_(720, 960) {
    cv::RNG random(11);
    random.fill(marks_, cv::RNG::NORMAL, 0, 1);
    cv::GaussianBlur(marks_, marks_, {5, 1}, 1);
    for (int y = 0; y < 720; ++y)
      for (int x = 0; x < 960; ++x) {
        const double dx = x - 479.5, dy = y - 359.5, angle = std::hypot(dx, dy) / 259.2;  // head-video's focal length
        const double ahead = 1 / std::tan(std::clamp(angle, 0.01, 1.5));                  // in radii
        light_(y, x) = static_cast<float>(150 / (1 + 1.2 * ahead * ahead));
        column_(y, x) = static_cast<float>(std::atan2(dy, dx) * 360 / CV_PI + 720);
      }
  }
  cv::Mat3b At(double turned_deg) const {
    cv::Mat3b image(light_.size());
    for (int y = 0; y < image.rows; ++y)
      for (int x = 0; x < image.cols; ++x) {
        const int column = static_cast<int>(column_(y, x) + 2 * turned_deg) % 720;
        image(y, x) = cv::Vec3b::all(cv::saturate_cast<uchar>(light_(y, x) * (1 + 0.15F * marks_(0, column))));
      }
    cv::Mat3s grain(image.size());  // a camera's noise: without any a rounding step would stand out as a ring
    cv::RNG random(static_cast<std::uint64_t>(turned_deg) + 1);
    random.fill(grain, cv::RNG::NORMAL, 0, 12);
    cv::add(image, grain, image, cv::noArray(), CV_8U);
    return image;
  }

 private:
  cv::Mat1f marks_, column_, light_;
};

/// The arc at a place of its way round, the rest dark.
cv::Mat3b Arc(const cv::Mat3b& wall, int step) {
  cv::Mat image, wide;
  wall.convertTo(image, CV_8U, 0.12);
  const double turn = 0.06 * step;
  const cv::Point spot(480 + static_cast<int>(200 * std::cos(turn)), 360 + static_cast<int>(200 * std::sin(turn)));
  cv::Mat light(image.size(), CV_8UC3, cv::Scalar::all(0)), small;
  cv::circle(light, spot, 30, cv::Scalar::all(255), cv::FILLED);
  cv::resize(light, small, {}, 0.125, 0.125, cv::INTER_AREA);
  cv::GaussianBlur(small, small, {}, 7.5);
  cv::resize(small, wide, light.size());
  cv::addWeighted(image, 1, wide, 3, 0, image);
  cv::add(image, light, image);
  return image;
}

/// Out of focus by far.
cv::Mat3b Unsharp(const cv::Mat3b& sharp) {
  cv::Mat small, image;
  cv::resize(sharp, small, {}, 0.25, 0.25, cv::INTER_AREA);
  cv::GaussianBlur(small, small, {}, 2.2);
  cv::resize(small, image, sharp.size(), 0, 0, cv::INTER_CUBIC);
  return image;
}

}  // namespace

std::vector<Part> WriteFilm(const fs::path& folder) {
  const auto push = Push();
  EXPECT_EQ(push.size(), 24u);
  cv::VideoWriter film((folder / "film.avi").string(), cv::CAP_FFMPEG, cv::VideoWriter::fourcc('M', 'J', 'P', 'G'),
                       kFps, push[0].size());
  const std::vector<Part> parts{{0, 4, Shows::kTravelling}, {4, 8, Shows::kAtWeld},    {8, 10, Shows::kDark},
                                {10, 13, Shows::kWelding},  {13, 16, Shows::kBlurred}, {16, 19, Shows::kAtWeld}};
  const BareWall wall;
  cv::Mat3b image;
  for (const Part& part : parts)
    for (int i = 0; i < static_cast<int>((part.to_s - part.from_s) * kFps); ++i) {
      const int there = i % 46;  // forth and back
      const cv::Mat3b& looked = push[static_cast<std::size_t>(there < 24 ? there : 46 - there)];
      if (part.shows == Shows::kTravelling) image = wall.At(i);
      if (part.shows == Shows::kAtWeld) image = looked.clone();
      if (part.shows == Shows::kDark) looked.convertTo(image, CV_8U, 0.02);
      if (part.shows == Shows::kWelding) image = Arc(looked, i);
      if (part.shows == Shows::kBlurred) image = Unsharp(looked);
      if (part.shows != Shows::kDark)
        cv::putText(image, "LX-114 ROOT", {30, 690}, cv::FONT_HERSHEY_SIMPLEX, 1, cv::Scalar::all(235), 2);
      film.write(image);
    }
  const auto text = vision::ReadFileWhole(kDemo / "joint.json");
  auto json = nlohmann::json::parse(text.value());
  nlohmann::json kept;
  for (auto recording : json["recordings"])
    if (recording.contains("video")) recording["video"] = "film.avi", kept.push_back(recording);
  json["recordings"] = kept;
  EXPECT_FALSE(vision::WriteFileWhole(folder / "joint.json", json.dump(1)));
  return parts;
}

}  // namespace viewer_test
