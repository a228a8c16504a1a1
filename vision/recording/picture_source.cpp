#include "vision/recording/picture_source.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <mutex>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>

#include "vision/base/file.h"
#include "vision/recording/decode.h"

namespace vision::recording {
namespace {

namespace fs = std::filesystem;
using Step = PictureSource::Step;

int ReducedFlag(int reduce, bool colour) {
  if (reduce == 2) return colour ? cv::IMREAD_REDUCED_COLOR_2 : cv::IMREAD_REDUCED_GRAYSCALE_2;
  if (reduce == 4) return colour ? cv::IMREAD_REDUCED_COLOR_4 : cv::IMREAD_REDUCED_GRAYSCALE_4;
  if (reduce == 8) return colour ? cv::IMREAD_REDUCED_COLOR_8 : cv::IMREAD_REDUCED_GRAYSCALE_8;
  return colour ? cv::IMREAD_COLOR : cv::IMREAD_GRAYSCALE;
}

cv::Mat Decoded(const cv::Mat& bytes, int reduce) {
  try {
    if (!RefusalOf({bytes.ptr<char>(), bytes.total()}).empty()) return {};
    return cv::imdecode(bytes, ReducedFlag(reduce, true) | cv::IMREAD_IGNORE_ORIENTATION);
  } catch (const cv::Exception&) {
    return {};
  }
}

double DurationOf(const cv::VideoCapture& video) {
  const double frames = video.get(cv::CAP_PROP_FRAME_COUNT), fps = video.get(cv::CAP_PROP_FPS);
  return frames > 0 && fps > 0 && fps < 1000 ? frames / fps : -1;
}

/// Whatever FFmpeg or V4L2 decodes.
class DecodedVideo final : public PictureSource {
 public:
  DecodedVideo(cv::VideoCapture video, bool live) : video_(std::move(video)) {
    info.size = {static_cast<int>(video_.get(cv::CAP_PROP_FRAME_WIDTH)),
                 static_cast<int>(video_.get(cv::CAP_PROP_FRAME_HEIGHT))};
    info.duration_s = live ? -1 : DurationOf(video_);
    const double fps = video_.get(cv::CAP_PROP_FPS);
    usual_step_s = fps > 0 && fps < 1000 ? 1 / fps : 0;
    const auto code = static_cast<unsigned>(video_.get(cv::CAP_PROP_FOURCC));
    each_by_itself_ = code == static_cast<unsigned>(cv::VideoWriter::fourcc('M', 'J', 'P', 'G')) ||
                      code == static_cast<unsigned>(cv::VideoWriter::fourcc('m', 'j', 'p', 'e'));
    info.clock = "time stamps of the recording";
    info.silent = !live;
  }
  Step Grab() override { return video_.grab() ? Step::kFrame : Step::kNothing; }
  std::optional<double> TimeS() const override {
    const double ms = video_.get(cv::CAP_PROP_POS_MSEC);
    return std::isfinite(ms) ? std::optional(ms / 1000) : std::nullopt;
  }
  cv::Mat Picture(int reduce) override {
    cv::Mat whole, small;
    if (!video_.retrieve(whole) || whole.empty()) return {};
    if (reduce == 1) return whole.clone();
    cv::resize(whole, small, {}, 1.0 / reduce, 1.0 / reduce, cv::INTER_AREA);
    return small;
  }
  bool SeekTo(double time_s) override { return video_.set(cv::CAP_PROP_POS_MSEC, 1000 * time_s); }
  bool EachByItself() const override { return each_by_itself_; }

 private:
  cv::VideoCapture video_;
  bool each_by_itself_ = false;
};

/// Motion JPEG in AVI, whose frames keep one rate: packets are checked without decoding, and decoded reduced.
class JpegVideo final : public PictureSource {
 public:
  JpegVideo(cv::VideoCapture raw, const PictureSource& decoded) : raw_(std::move(raw)) {
    info = decoded.info;
    info.clock = "frame number at the file's one rate";
    info.silent = false;
    usual_step_s = decoded.usual_step_s;
  }
  Step Grab() override {
    if (!raw_.grab() || !raw_.retrieve(bytes_) || bytes_.empty()) return Step::kNothing;
    ++number_;
    return JpegLooksWhole(bytes_.ptr(), bytes_.total()) ? Step::kFrame : Step::kDamaged;
  }
  std::optional<double> TimeS() const override { return static_cast<double>(number_) * usual_step_s; }
  cv::Mat Picture(int reduce) override { return Decoded(bytes_, reduce); }
  bool SeekTo(double) override { return false; }
  bool EachByItself() const override { return true; }

 private:
  cv::VideoCapture raw_;
  cv::Mat bytes_;
  long number_ = -1;
};

class StillFolder final : public PictureSource {
 public:
  StillFolder(std::vector<fs::path> files, double per_s) : files_(std::move(files)) {
    usual_step_s = 1 / per_s;
    info.duration_s = static_cast<double>(files_.size()) / per_s;
    info.kind = "stills";
    info.clock = "stills have no clock: " + std::to_string(per_s).substr(0, 4) + " a second assumed";
  }
  Step Grab() override {
    if (next_ >= files_.size()) return Step::kNothing;
    auto bytes = ReadFileWhole(files_[next_++]);
    bytes_ = bytes.ok() ? std::move(bytes.value()) : std::string();
    const bool jpeg = bytes_.starts_with("\xFF\xD8");
    const auto* data = reinterpret_cast<const uchar*>(bytes_.data());
    return bytes_.empty() || (jpeg && !JpegLooksWhole(data, bytes_.size())) ? Step::kDamaged : Step::kFrame;
  }
  std::optional<double> TimeS() const override { return (static_cast<double>(next_) - 1) * usual_step_s; }
  cv::Mat Picture(int reduce) override {
    if (bytes_.empty()) return {};
    return Decoded(cv::Mat(1, static_cast<int>(bytes_.size()), CV_8U, bytes_.data()), reduce);
  }
  bool SeekTo(double) override { return false; }
  bool EachByItself() const override { return true; }

 private:
  std::vector<fs::path> files_;
  std::size_t next_ = 0;
  std::string bytes_;
};

Result<std::unique_ptr<PictureSource>> OpenStills(const fs::path& folder, double per_s) {
  std::vector<fs::path> files;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed))
    for (const char* extension : {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".bmp", ".JPG", ".JPEG", ".PNG", ".TIF"})
      if (entry.path().extension() == extension) files.push_back(entry.path());
  if (files.empty())
    return BadInput(folder.string() + " holds no still; pictures ending in .jpg, .png or .tif are wanted.");
  std::sort(files.begin(), files.end());
  auto stills = std::make_unique<StillFolder>(std::move(files), per_s);
  return std::unique_ptr<PictureSource>(std::move(stills));
}

/// @return The same file by its packets; null when they are no JPEG that stands by itself.
std::unique_ptr<PictureSource> ByPackets(const fs::path& file, const PictureSource& decoded) {
  if (file.extension() != ".avi" || !(decoded.usual_step_s > 0)) return nullptr;
  cv::VideoCapture raw;
  if (!raw.open(file.string(), cv::CAP_FFMPEG) || !raw.set(cv::CAP_PROP_FORMAT, -1)) return nullptr;
  cv::Mat first;
  if (!raw.grab() || !raw.retrieve(first) || first.empty() || first.type() != CV_8U) return nullptr;
  if (Decoded(first, 1).size() != decoded.info.size) return nullptr;
  if (!raw.open(file.string(), cv::CAP_FFMPEG) || !raw.set(cv::CAP_PROP_FORMAT, -1)) return nullptr;
  return std::make_unique<JpegVideo>(std::move(raw), decoded);
}

Result<std::unique_ptr<PictureSource>> OpenVideo(const std::string& source, bool network) {
  std::error_code ignored;
  if (!network && !fs::is_regular_file(source, ignored)) return Error{ErrorCode::kIo, "No video file " + source + "."};
  cv::VideoCapture video(source, cv::CAP_FFMPEG);
  if (!video.isOpened())
    return BadInput(source + (network ? " gives no stream that can be read." : " is not a video that can be read."));
  auto decoded = std::make_unique<DecodedVideo>(std::move(video), network);
  decoded->info.kind = network ? "network stream" : "video";
  if (!network && decoded->EachByItself())
    if (auto packets = ByPackets(source, *decoded)) return packets;
  return std::unique_ptr<PictureSource>(std::move(decoded));
}

Result<std::unique_ptr<PictureSource>> OpenDevice(const std::string& source) {
  cv::VideoCapture video(source, cv::CAP_V4L2);
  if (!video.isOpened()) return Error{ErrorCode::kIo, "The video device " + source + " cannot be opened."};
  auto device = std::make_unique<DecodedVideo>(std::move(video), true);
  device->info.kind = "device";
  return std::unique_ptr<PictureSource>(std::move(device));
}

}  // namespace

bool JpegLooksWhole(const uchar* bytes, std::size_t size) {
  if (size < 4 || bytes[0] != 0xFF || bytes[1] != 0xD8) return false;
  std::size_t at = 2;
  bool scan = false;  // inside entropy-coded data
  while (at + 1 < size) {
    if (bytes[at] != 0xFF) {
      if (!scan) return false;
      ++at;
      continue;
    }
    const int marker = bytes[at + 1];
    if (marker == 0xD9) return scan;
    if (marker == 0xFF) {
      ++at;  // fill byte
    } else if (scan && (marker == 0 || (marker >= 0xD0 && marker <= 0xD7))) {
      at += 2;
    } else {
      // A segment: only those that may follow a scan (tables, the next scan, a comment) are allowed after one.
      const bool may_follow =
          marker == 0xC4 || marker == 0xDA || marker == 0xDB || marker == 0xDC || marker == 0xDD || marker == 0xFE;
      if (marker < 0xC0 || (scan && !may_follow) || at + 3 >= size) return false;
      at += 2 + (static_cast<std::size_t>(bytes[at + 2]) << 8 | bytes[at + 3]);
      scan = marker == 0xDA;
    }
  }
  return false;
}

Result<std::unique_ptr<PictureSource>> OpenSource(const std::string& source, const StreamOptions& options) {
  // Without this FFmpeg speaks on standard error of every fault; what matters is counted here.
  static std::once_flag once;
  std::call_once(once, [] { ::setenv("OPENCV_FFMPEG_LOGLEVEL", "-8", 0); });
  std::error_code ignored;
  if (source.find("://") != std::string::npos) return OpenVideo(source, true);
  if (source.starts_with("/dev/")) return OpenDevice(source);
  if (fs::is_directory(source, ignored)) return OpenStills(source, options.stills_per_s);
  return OpenVideo(source, false);
}

}  // namespace vision::recording
