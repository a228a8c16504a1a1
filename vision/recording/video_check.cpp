#include "vision/recording/video_check.h"

#include <algorithm>
#include <cstdarg>
#include <memory>
#include <string>

#include "vision/recording/jpeg_check.h"

extern "C" {
#include <libavcodec/avcodec.h>
#include <libavformat/avformat.h>
#include <libavutil/log.h>
}

namespace vision::recording {
namespace {

struct CloseInput {
  void operator()(AVFormatContext* input) const { avformat_close_input(&input); }
};
struct FreeDecoder {
  void operator()(AVCodecContext* decoder) const { avcodec_free_context(&decoder); }
};
struct FreePacket {
  void operator()(AVPacket* packet) const { av_packet_free(&packet); }
};
struct FreeFrame {
  void operator()(AVFrame* frame) const { av_frame_free(&frame); }
};

thread_local const void* watched = nullptr;  ///< The decoder whose errors are counted on this thread.
thread_local int errors = 0;

/// The library reports most damage in words only; those of the watched decoder are counted, others go their way.
void OnLog(void* from, int level, const char* format, va_list arguments) {
  if (from != nullptr && from == watched) {
    errors += level <= AV_LOG_ERROR;
    return;
  }
  if (level <= av_log_get_level()) av_log_default_callback(from, level, format, arguments);
}

/// One file being looked through.
class Checker {
 public:
  bool Open(const std::filesystem::path& file) {
    AVFormatContext* opened = nullptr;
    if (avformat_open_input(&opened, file.c_str(), nullptr, nullptr) != 0) return false;
    input_.reset(opened);
    if (avformat_find_stream_info(opened, nullptr) < 0) return false;
    const AVCodec* codec = nullptr;
    stream_ = av_find_best_stream(opened, AVMEDIA_TYPE_VIDEO, -1, -1, &codec, 0);
    if (stream_ < 0 || codec == nullptr) return false;
    decoder_.reset(avcodec_alloc_context3(codec));
    const auto* parameters = opened->streams[stream_]->codecpar;
    if (!decoder_ || avcodec_parameters_to_context(decoder_.get(), parameters) < 0) return false;
    decoder_->thread_count = 1;  // an error belongs to the packet that was just sent
    jpeg_ = codec->id == AV_CODEC_ID_MJPEG;
    const AVCodecDescriptor* about = avcodec_descriptor_get(codec->id);
    alone_ = about != nullptr && (about->props & AV_CODEC_PROP_INTRA_ONLY) != 0;
    return avcodec_open2(decoder_.get(), codec, nullptr) == 0;
  }

  /// @return false when it was stopped.
  bool Walk(double until_s, const JobContext& job) {
    const std::unique_ptr<AVPacket, FreePacket> packet(av_packet_alloc());
    const double size = static_cast<double>(std::max<std::int64_t>(1, avio_size(input_->pb)));
    watched = decoder_.get();
    errors = 0;
    while (av_read_frame(input_.get(), packet.get()) >= 0) {
      if (job.Cancelled()) return watched = nullptr, false;
      if (!times_.empty() && times_.back() > until_s) break;
      if (packet->stream_index == stream_) Send(*packet);
      if (packet->pos > 0) job.Report(std::min(1.0, static_cast<double>(packet->pos) / size), "looking for damage");
      av_packet_unref(packet.get());
    }
    avcodec_send_packet(decoder_.get(), nullptr);
    Receive(false);
    watched = nullptr;
    return true;
  }

  const std::vector<int>& damaged() const { return damaged_; }

  std::vector<Damage> Stretches() const {
    std::vector<Damage> stretches;
    for (std::size_t i = 0; i < damaged_.size(); ++i) {
      const auto frame = static_cast<std::size_t>(damaged_[i]);
      const double next_s = frame + 1 < times_.size() ? times_[frame + 1] : times_[frame] + UsualStep();
      if (i > 0 && damaged_[i] == damaged_[i - 1] + 1)
        stretches.back().to_s = next_s, ++stretches.back().frames;
      else
        stretches.push_back({times_[frame], next_s, 1, "damaged frames"});
    }
    return stretches;
  }

 private:
  void Send(const AVPacket& packet) {
    errors = 0;
    bool bad = (packet.flags & AV_PKT_FLAG_CORRUPT) != 0;
    if (jpeg_)
      bad = bad ||
            !JpegDamage({reinterpret_cast<const char*>(packet.data), static_cast<std::size_t>(packet.size)}).empty();
    if (avcodec_send_packet(decoder_.get(), &packet) < 0) bad = true;
    Receive(bad);
  }

  /// Takes what comes out. Damage reaches on to what is coded by it: up to the next picture that stands by itself.
  void Receive(bool bad) {
    const std::unique_ptr<AVFrame, FreeFrame> frame(av_frame_alloc());
    pending_ = pending_ || bad;
    while (avcodec_receive_frame(decoder_.get(), frame.get()) == 0) {
      const bool corrupt = (frame->flags & AV_FRAME_FLAG_CORRUPT) != 0 || frame->decode_error_flags != 0;
      const bool fault = pending_ || corrupt || (errors > 0 && !jpeg_);
      const bool clean = !fault && (alone_ || frame->key_frame != 0);
      tainted_ = (tainted_ || fault) && !clean;
      if (tainted_) damaged_.push_back(number_);
      times_.push_back(TimeOf(*frame));
      pending_ = false;
      errors = 0;
      ++number_;
      av_frame_unref(frame.get());
    }
    pending_ = pending_ || (errors > 0 && !jpeg_);
  }

  double UsualStep() const { return times_.size() > 1 ? times_.back() / static_cast<double>(times_.size() - 1) : 0; }

  /// From the first frame, s; never falls. A frame without a time follows the one before by the usual step.
  double TimeOf(const AVFrame& frame) {
    const double last_s = times_.empty() ? 0 : times_.back();
    if (frame.best_effort_timestamp == AV_NOPTS_VALUE) return last_s + UsualStep();
    const double told_s =
        static_cast<double>(frame.best_effort_timestamp) * av_q2d(input_->streams[stream_]->time_base);
    if (times_.empty()) first_s_ = told_s;
    return std::max(last_s, told_s - first_s_);
  }

  std::unique_ptr<AVFormatContext, CloseInput> input_;
  std::unique_ptr<AVCodecContext, FreeDecoder> decoder_;
  int stream_ = -1, number_ = 0;
  bool jpeg_ = false, alone_ = false, pending_ = false, tainted_ = false;
  std::vector<int> damaged_;
  std::vector<double> times_;  ///< Of every frame, s.
  double first_s_ = 0;
};

}  // namespace

Result<std::vector<int>> DamagedFrames(const std::filesystem::path& file, const JobContext& job) {
  av_log_set_callback(OnLog);
  Checker checker;
  if (!checker.Open(file)) return std::vector<int>();
  if (!checker.Walk(std::numeric_limits<double>::infinity(), job)) return Cancelled();
  return checker.damaged();
}

Result<std::vector<Damage>> DamageIn(const std::filesystem::path& file, double until_s, const JobContext& job) {
  av_log_set_callback(OnLog);
  Checker checker;
  if (!checker.Open(file)) return std::vector<Damage>();
  if (!checker.Walk(until_s, job)) return Cancelled();
  return checker.Stretches();
}

std::string FramesText(const std::vector<int>& frames, std::size_t most) {
  std::vector<std::string> stretches;
  for (std::size_t i = 0; i < frames.size();) {
    std::size_t end = i;
    while (end + 1 < frames.size() && frames[end + 1] == frames[end] + 1) ++end;
    stretches.push_back(std::to_string(frames[i]) + (end > i ? " to " + std::to_string(frames[end]) : ""));
    i = end + 1;
  }
  std::string text;
  for (std::size_t i = 0; i < stretches.size() && i < most; ++i) text += (i > 0 ? ", " : "") + stretches[i];
  if (stretches.size() > most) text += " and " + std::to_string(stretches.size() - most) + " more stretches";
  return text;
}

}  // namespace vision::recording
