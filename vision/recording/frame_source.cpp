#include "vision/recording/frame_source.h"

#include <algorithm>
#include <cstdint>
#include <fstream>
#include <limits>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <opencv2/videoio.hpp>

#include "vision/base/file.h"
#include "vision/base/says.h"
#include "vision/recording/decode.h"
#include "vision/recording/video_check.h"

namespace vision::recording {
namespace {

int BigEndian(const std::string& bytes, std::size_t at, int count) {
  int value = 0;
  for (int i = 0; i < count; ++i)
    value = (value << 8) | static_cast<unsigned char>(bytes[at + static_cast<std::size_t>(i)]);
  return value;
}

/// Walks the JPEG markers to the start of frame (ITU-T T.81, B.2.2).
std::optional<cv::Size> JpegSize(const std::string& bytes) {
  std::size_t at = 2;
  while (at + 9 < bytes.size() && static_cast<unsigned char>(bytes[at]) == 0xFF) {
    const int marker = static_cast<unsigned char>(bytes[at + 1]);
    const bool start_of_frame = marker >= 0xC0 && marker <= 0xCF && marker != 0xC4 && marker != 0xC8 && marker != 0xCC;
    if (start_of_frame) return cv::Size(BigEndian(bytes, at + 7, 2), BigEndian(bytes, at + 5, 2));
    at += 2 + static_cast<std::size_t>(BigEndian(bytes, at + 2, 2));
  }
  return std::nullopt;
}

/// Is there an end of image after the start of scan? Inside the scan every 0xFF of data is followed by 0 (ITU-T T.81,
/// B.1.1.5), so 0xFF 0xD9 cannot be data; before it lie segments that may hold a whole small picture of their own.
bool JpegIsWhole(const std::string& bytes) {
  std::size_t at = 2;
  while (at + 4 < bytes.size() && static_cast<unsigned char>(bytes[at]) == 0xFF) {
    if (static_cast<unsigned char>(bytes[at + 1]) == 0xDA) break;
    at += 2 + static_cast<std::size_t>(BigEndian(bytes, at + 2, 2));
  }
  return at < bytes.size() && bytes.find("\xFF\xD9", at) != std::string::npos;
}

std::string Text(cv::Size size) { return std::to_string(size.width) + " x " + std::to_string(size.height); }

Error WrongSize(const std::string& file, cv::Size got, cv::Size want) {
  return BadInput(file + " is " + Text(got) + " px; the camera in the joint file is " + Text(want) + " px.");
}

/// Is an AVI shorter than its own RIFF header says (little-endian size in bytes 4 to 7, of what follows them)?
bool RiffIsCut(const std::filesystem::path& file) {
  std::string head(8, '\0');
  std::ifstream in(file, std::ios::binary);
  if (!in.read(head.data(), 8) || !head.starts_with("RIFF")) return false;
  std::reverse(head.begin() + 4, head.end());
  const auto told = static_cast<std::uint32_t>(BigEndian(head, 4, 4));
  std::error_code ignored;
  return std::filesystem::file_size(file, ignored) < told + std::uintmax_t{8};
}

/// Keeps the sharpest frame of each span.
class SharpestOfSpans {
 public:
  explicit SharpestOfSpans(const std::vector<FrameSpan>& spans)
      : spans_(spans), best_(spans.size()), sharpness_(spans.size(), -1) {}

  bool Wants(int index) const { return SpanOf(index) < spans_.size(); }

  void Offer(Frame frame) {
    const std::size_t span = SpanOf(frame.index);
    if (span == spans_.size()) return;
    const double sharpness = Sharpness(frame.image);
    if (sharpness <= sharpness_[span]) return;
    sharpness_[span] = sharpness;
    best_[span] = std::move(frame);
  }

  std::vector<Frame> Take() {
    std::erase_if(best_, [](const Frame& frame) { return frame.image.empty(); });
    return std::move(best_);
  }

 private:
  std::size_t SpanOf(int index) const {
    const auto holds = [index](const FrameSpan& span) { return span.first <= index && index <= span.last; };
    return static_cast<std::size_t>(std::find_if(spans_.begin(), spans_.end(), holds) - spans_.begin());
  }

  const std::vector<FrameSpan>& spans_;
  std::vector<Frame> best_;
  std::vector<double> sharpness_;
};

Result<cv::VideoCapture> OpenVideo(const std::filesystem::path& file) {
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(file, ignored))
    return Error{ErrorCode::kIo, "No video file " + file.string() + "."};
  cv::VideoCapture video(file.string(), cv::CAP_FFMPEG);
  if (!video.isOpened()) return BadInput(file.string() + " is not a video that can be read.");
  return video;
}

cv::Size SizeTold(const cv::VideoCapture& video) {
  return {static_cast<int>(video.get(cv::CAP_PROP_FRAME_WIDTH)),
          static_cast<int>(video.get(cv::CAP_PROP_FRAME_HEIGHT))};
}

int FramesPromised(const cv::VideoCapture& video) {
  return std::max(1, static_cast<int>(video.get(cv::CAP_PROP_FRAME_COUNT)));
}

}  // namespace

std::optional<cv::Size> SizeFromHeader(const std::string& bytes) {
  if (bytes.size() > 24 && bytes.compare(0, 8, "\x89PNG\r\n\x1a\n") == 0)
    return cv::Size(BigEndian(bytes, 16, 4), BigEndian(bytes, 20, 4));
  if (bytes.size() > 12 && bytes.compare(0, 2, "\xFF\xD8") == 0) return JpegSize(bytes);
  return std::nullopt;
}

Status WritePicture(const std::filesystem::path& file, const cv::Mat& image) {
  std::vector<uchar> bytes;
  if (image.empty() || !cv::imencode(file.extension().string(), image, bytes))
    return BadInput(file.string() + " could not be made: there is no picture for it.");
  return WriteFileWhole(file, {bytes.begin(), bytes.end()});
}

Result<cv::Mat1b> ReadMask(const std::filesystem::path& file, cv::Size size) {
  auto bytes = ReadFileWhole(file, kMostPictureBytes);
  if (!bytes.ok()) return bytes.error();
  auto decoded = DecodePicture(bytes.value(), "mask " + file.string(), Colour::kGrey);
  if (!decoded.ok()) return decoded.error();
  const cv::Mat1b mask = decoded.value();
  if (mask.size() != size)
    return BadInput("mask " + file.string() + " is " + std::to_string(mask.cols) + " x " + std::to_string(mask.rows) +
                    " px; it must be of the camera's size, " + std::to_string(size.width) + " x " +
                    std::to_string(size.height) + " px.");
  return mask;
}

Result<Frame> ReadStill(const std::filesystem::path& file, cv::Size size) {
  auto bytes = ReadFileWhole(file, kMostPictureBytes);
  if (!bytes.ok()) return bytes.error();
  if (const auto told = SizeFromHeader(bytes.value()); told && *told != size)
    return WrongSize(file.string(), *told, size);
  auto decoded = DecodePicture(bytes.value(), file.string());
  if (!decoded.ok()) {
    const bool cut = bytes.value().starts_with("\xFF\xD8") && !JpegIsWhole(bytes.value());
    return cut ? BadInput(file.string() + " is cut short: its end is missing; copy the whole file.") : decoded.error();
  }
  const cv::Mat image = decoded.value();
  if (image.size() != size) return WrongSize(file.string(), image.size(), size);
  return Frame{image, file.filename().string(), 0, std::nullopt};
}

Sentence VideoDamage::Said() const {
  if (missing > 0 && !frames.empty()) return {Says::kUndecodedAndDamaged, {missing, frames.size(), FramesText(frames)}};
  if (missing > 0) return {Says::kUndecoded, {missing}};
  return frames.empty() ? Sentence() : Sentence{Says::kDamaged, {frames.size(), FramesText(frames)}};
}

Result<std::vector<Frame>> ReadSharpest(const std::filesystem::path& file, cv::Size size,
                                        const std::vector<FrameSpan>& spans, VideoDamage* damage,
                                        const JobContext& job) {
  auto opened = OpenVideo(file);
  if (!opened.ok()) return opened.error();
  cv::VideoCapture& video = opened.value();
  if (const cv::Size told = SizeTold(video); told.width > 0 && told.height > 0 && told != size)
    return WrongSize(file.string(), told, size);
  auto bad = DamagedFrames(file, job.Part(0, 0.4));
  if (!bad.ok()) return bad.error();
  const auto reading = job.Part(0.4, 1);
  const auto whole_frame = [&bad](const Frame& frame) {
    return !std::binary_search(bad.value().begin(), bad.value().end(), frame.index);
  };
  const int promised = FramesPromised(video);
  SharpestOfSpans sharpest(spans);
  std::optional<Frame> waiting;  // one frame behind, since the last one of a file cut short may be half another frame
  int read = 0;
  for (; video.grab(); ++read) {
    if (job.Cancelled()) return Cancelled();
    if (waiting && whole_frame(*waiting)) sharpest.Offer(std::move(*waiting));
    waiting.reset();
    reading.Report(std::min(1.0, static_cast<double>(read) / promised), "reading the video");
    cv::Mat image;
    if (read > 0 && !sharpest.Wants(read)) continue;
    if (!video.retrieve(image)) break;
    if (image.size() != size) return WrongSize(file.string(), image.size(), size);
    waiting = Frame{image.clone(), file.filename().string() + "#" + std::to_string(read), read,
                    video.get(cv::CAP_PROP_POS_MSEC) / 1000.0};
  }
  const bool whole = read >= promised && !RiffIsCut(file);
  if (waiting && whole && whole_frame(*waiting)) sharpest.Offer(std::move(*waiting));
  const int usable = whole ? read : read - 1;
  auto frames = sharpest.Take();
  if (usable < 1 || frames.empty())
    return BadInput(file.string() + " holds no frame that can be decoded; it may be cut short or damaged.");
  std::erase_if(bad.value(), [usable](int frame) { return frame >= usable; });  // counted as missing
  if (damage) *damage = {std::max(read - usable, promised - usable), std::move(bad).value()};
  return frames;
}

Result<std::vector<Frame>> ReadVideo(const std::filesystem::path& file, cv::Size size, int parts, VideoDamage* damage,
                                     const JobContext& job) {
  auto opened = OpenVideo(file);
  if (!opened.ok()) return opened.error();
  const int frames = FramesPromised(opened.value());
  std::vector<FrameSpan> spans;
  for (int part = 0; part < std::max(1, parts); ++part)
    spans.push_back({frames * part / parts, frames * (part + 1) / parts - 1});
  spans.back().last = std::numeric_limits<int>::max();
  return ReadSharpest(file, size, spans, damage, job);
}

double Sharpness(const cv::Mat& image) {
  cv::Mat grey, laplacian;
  if (image.channels() == 3)
    cv::cvtColor(image, grey, cv::COLOR_BGR2GRAY);
  else
    grey = image;
  cv::Laplacian(grey, laplacian, CV_32F);
  const double edges = cv::norm(laplacian, cv::NORM_L2SQR), level = cv::norm(grey, cv::NORM_L2SQR);
  return level > 0 ? edges / level : 0;
}

}  // namespace vision::recording
