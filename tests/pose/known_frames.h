#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "vision/bore/bore.h"
#include "vision/pose/pose.h"

namespace vision::pose {

/// A picture with everything that is true of where its camera stood.
struct KnownFrame {
  std::string name;
  cv::Mat3b picture;
  FrameSetting setting;
  bore::Bore bore;
  bore::BoreFromCam truth;                        ///< z = 0 at the mean of both edges.
  std::vector<double> left_edge_z, right_edge_z;  ///< Every 0.5 degree; z as in `truth`.
  std::vector<double> left_wall_h, right_wall_h;  ///< Of each wall over the bore, the same lines; FramesOf alone.
};

/// The frames of a folder with joint.json and truth.json, as the scene maker and the independent scenes write them.
std::vector<KnownFrame> FramesOf(const std::filesystem::path& folder);

/// A frame of a made-up weld, rendered here.
KnownFrame Rendered(const std::string& kind, std::uint64_t seed, const std::string& lens, bool plus_z);

}  // namespace vision::pose
