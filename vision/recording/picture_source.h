#pragma once

#include <memory>
#include <opencv2/core.hpp>
#include <optional>
#include <string>

#include "vision/base/result.h"
#include "vision/recording/frame_stream.h"

/// The kinds of recording behind FrameStream; of no use to others.
namespace vision::recording {

/// Gives packets one after another; a picture is made of a packet only when asked.
class PictureSource {
 public:
  enum class Step {
    kFrame,    ///< A packet that looks whole.
    kDamaged,  ///< A packet that is there but cannot be decoded or is cut.
    kNothing,  ///< None came: the end, or a place that cannot be read.
  };
  virtual ~PictureSource() = default;
  virtual Step Grab() = 0;
  /// Clock of the packet grabbed last, s; nullopt where the container does not say.
  virtual std::optional<double> TimeS() const = 0;
  virtual cv::Mat Picture(int reduce) = 0;  ///< Of the packet grabbed last; empty when it cannot be decoded.
  virtual bool SeekTo(double time_s) = 0;   ///< After the end, to look for what lies behind a bad place.
  virtual bool EachByItself() const = 0;    ///< Is every picture coded without the others?
  StreamInfo info;
  double usual_step_s = 0;  ///< As the container says; 0 = not said.
};

/// @return The right kind for `source`; errors as FrameStream::Open.
Result<std::unique_ptr<PictureSource>> OpenSource(const std::string& source, const StreamOptions& options);

/// Is a JPEG whole: begins and ends as it should, with nothing inside its scan that cannot stand there (ITU-T T.81,
/// B.1.1.5: 0xFF is followed by 0, a restart marker, or the next segment)?
bool JpegLooksWhole(const uchar* bytes, std::size_t size);

}  // namespace vision::recording
