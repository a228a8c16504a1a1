#pragma once

#include <filesystem>
#include <functional>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/base/job.h"
#include "vision/base/result.h"

/// Pictures as they were recorded: still files and video files.
namespace vision::recording {

/// One picture with where it came from.
struct Frame {
  cv::Mat3b image;               ///< BGR, 8 bit.
  std::string name;              ///< File name, for a video `file#index`.
  int index = 0;                 ///< Number in its video; 0 for a still.
  std::optional<double> time_s;  ///< As the video's own clock says.
};

/// Reads one still as the sensor laid it down (decode.h). @param size What the camera of the joint file says.
/// @return kIo when missing; kBadInput when not a picture, damaged, or of another size (checked before decoding where
/// the format tells).
Result<Frame> ReadStill(const std::filesystem::path& file, cv::Size size);

/// Writes a picture whole, in the format that the file's ending names.
Status WritePicture(const std::filesystem::path& file, const cv::Mat& image);

/// Reads a camera's mask: grey, white where the camera sees itself. @param size Of the camera's pictures.
/// @return kBadInput when it is no picture, or one of another size.
Result<cv::Mat1b> ReadMask(const std::filesystem::path& file, cv::Size size);

/// Frames of a video by their numbers, both ends included.
struct FrameSpan {
  int first = 0, last = 0;
};

/// Frames of a video that were left out.
struct VideoDamage {
  int missing = 0;          ///< Promised by the file and not there.
  std::vector<int> frames;  ///< Numbers, from 0, of those that are damaged.

  /// Without the file's name; nothing when nothing was left out.
  Sentence Said() const;
};

/// Reads the sharpest frame of each span of a video. A frame belongs to the first span that holds it.
/// @param damage If not null: what was left out, and why. Of a file cut short the last frame is not used: a decoder
/// fills its missing part from the frame before. A frame that the decoder finds fault with is not used either, nor
/// those after it up to the next picture that is coded by itself.
/// @return kBadInput for a file that is no video, holds no frame, or has another size than the camera.
Result<std::vector<Frame>> ReadSharpest(const std::filesystem::path& file, cv::Size size,
                                        const std::vector<FrameSpan>& spans, VideoDamage* damage = nullptr,
                                        const JobContext& job = {});

/// The same of `parts` equal stretches.
Result<std::vector<Frame>> ReadVideo(const std::filesystem::path& file, cv::Size size, int parts,
                                     VideoDamage* damage = nullptr, const JobContext& job = {});

/// Sharpness of a picture: mean squared Laplacian over mean squared grey value; larger is sharper. For comparing frames
/// of one recording, not an absolute quantity.
double Sharpness(const cv::Mat& image);

/// @return Width and height from a PNG or JPEG header without decoding; nullopt for another format.
std::optional<cv::Size> SizeFromHeader(const std::string& bytes);

}  // namespace vision::recording
