#include "vision/recording/jpeg_check.h"

#include <csetjmp>
#include <cstdio>  // jpeglib.h needs its types
#include <vector>

#include "vision/recording/decode.h"
#include "vision/recording/jpeg_walk.h"

// Here, since they need what stands above.
#include <jerror.h>
#include <jpeglib.h>

namespace vision::recording {
namespace {

constexpr int kMostScans = 500;  ///< A progressive picture has about ten; thousands are an attack on time.

struct Watch {
  jpeg_error_mgr manager;
  std::jmp_buf gave_up;
  int first_warning = 0;  ///< Message code; 0 = none.
  bool failed = false;
};

Watch& Of(j_common_ptr info) { return *reinterpret_cast<Watch*>(info->err); }

void OnError(j_common_ptr info) {
  Of(info).failed = true;
  std::longjmp(Of(info).gave_up, 1);
}

/// Below 0: the data are corrupt (jerror.c, emit_message); above, a trace.
void OnMessage(j_common_ptr info, int level) {
  if (level >= 0) return;
  if (Of(info).first_warning == 0) Of(info).first_warning = Of(info).manager.msg_code;
  ++Of(info).manager.num_warnings;
}

void OnProgress(j_common_ptr info) {
  const auto* decoder = reinterpret_cast<j_decompress_ptr>(info);
  if (decoder->input_scan_number > kMostScans) OnError(info);
}

void Silent(j_common_ptr) {}

std::string Words(const Watch& watch) {
  switch (watch.first_warning) {
    case 0:
      return "its data cannot be decoded to the end";
    case JWRN_HIT_MARKER:
    case JWRN_JPEG_EOF:
      return "its data end before the picture does";
    case JWRN_EXTRANEOUS_DATA:
      return "it holds data that belong to no part of the picture";
    case JWRN_HUFF_BAD_CODE:
      return "it holds bits that are no code";
    case JWRN_MUST_RESYNC:
      return "parts of it are missing or in the wrong place";
    default:
      return "its decoder warns of it";
  }
}

/// Holds nothing with a destructor: a broken picture leaves it by longjmp.
void DecodeAll(jpeg_decompress_struct& decoder, Watch& watch, std::string_view bytes, std::vector<JSAMPLE>& line) {
  jpeg_mem_src(&decoder, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
  jpeg_read_header(&decoder, TRUE);
  if (static_cast<double>(decoder.image_width) * decoder.image_height > kMostPixels) {
    watch.failed = true;
    return;
  }
  decoder.out_color_space = decoder.jpeg_color_space;  // no conversion: only the coded data are looked at
  decoder.do_fancy_upsampling = FALSE;
  decoder.dct_method = JDCT_IFAST;
  jpeg_start_decompress(&decoder);
  line.resize(static_cast<std::size_t>(decoder.output_width) * static_cast<std::size_t>(decoder.output_components));
  JSAMPROW row = line.data();
  while (decoder.output_scanline < decoder.output_height && watch.first_warning == 0)
    jpeg_read_scanlines(&decoder, &row, 1);
  if (watch.first_warning == 0) jpeg_finish_decompress(&decoder);
}

std::string Words(Walked walked) {
  switch (walked) {
    case Walked::kBadCode:
      return "it holds bits that are no code";
    case Walked::kTooFar:
    case Walked::kTooLarge:
      return "it holds values that no picture has";
    case Walked::kTooShort:
      return "its data end before the picture does";
    case Walked::kLeftOver:
      return "it holds data that belong to no part of the picture";
    case Walked::kJump:
      return "from one place on all of it is lighter or darker by one amount";
    default:
      return "";
  }
}

/// What the decoder says by itself.
std::string DecoderWarns(std::string_view bytes, bool short_is_right) {
  Watch watch{};
  jpeg_decompress_struct decoder{};
  jpeg_progress_mgr progress{};
  std::vector<JSAMPLE> line;
  decoder.err = jpeg_std_error(&watch.manager);
  watch.manager.error_exit = OnError;
  watch.manager.emit_message = OnMessage;
  watch.manager.output_message = Silent;
  if (setjmp(watch.gave_up) == 0) {
    jpeg_create_decompress(&decoder);
    progress.progress_monitor = OnProgress;
    decoder.progress = &progress;
    DecodeAll(decoder, watch, bytes, line);
  }
  jpeg_destroy_decompress(&decoder);
  const bool only_short = !watch.failed && watch.first_warning == JWRN_HIT_MARKER && short_is_right;
  return (watch.failed || watch.first_warning != 0) && !only_short ? Words(watch) : "";
}

}  // namespace

std::string JpegDamage(std::string_view bytes) {
  const Walked walked = WalkJpeg(bytes);
  if (walked != Walked::kRight && walked != Walked::kOther) return Words(walked);
  return DecoderWarns(bytes, walked == Walked::kRight);
}

}  // namespace vision::recording
