#include "vision/recording/decode.h"

#include <zlib.h>

#include <cmath>
#include <cstdint>
#include <opencv2/imgcodecs.hpp>
#include <optional>

#include "vision/base/file.h"
#include "vision/recording/frame_source.h"
#include "vision/recording/jpeg_check.h"

namespace vision::recording {
namespace {

using std::string_view_literals::operator""sv;

constexpr auto kPng = "\x89PNG\r\n\x1a\n"sv;  ///< Format: of the file.

unsigned Byte(std::string_view bytes, std::size_t at) { return static_cast<unsigned char>(bytes[at]); }

std::uint32_t Number(std::string_view bytes, std::size_t at, int count, bool little) {
  std::uint32_t value = 0;
  for (int i = 0; i < count; ++i) {
    const auto place = static_cast<std::size_t>(little ? count - 1 - i : i);
    value = value << 8 | Byte(bytes, at + place);
  }
  return value;
}

/// Walks the chunks of a PNG; `each` gets type and data, false stops it. @return What is wrong, "" at a right end.
template <class Each>
std::string WalkPng(std::string_view bytes, const Each& each) {
  for (std::size_t at = kPng.size(); at + 12 <= bytes.size();) {
    const std::size_t length = Number(bytes, at, 4, false);
    if (length > bytes.size() - at - 12) return "it is cut short";
    const auto covered = bytes.substr(at + 4, length + 4);  // type and data
    const auto sum = ::crc32(0, reinterpret_cast<const Bytef*>(covered.data()), static_cast<uInt>(covered.size()));
    if (sum != Number(bytes, at + 8 + length, 4, false)) return "a chunk's sum differs";
    if (!each(covered.substr(0, 4), covered.substr(4))) return "";
    if (covered.starts_with("IEND")) return "";
    at += 12 + length;
  }
  return "its end is missing";
}

/// TIFF 6.0, section 2: the entries of the first directory; `each` gets tag, type, place of the value, byte order. EXIF
/// is laid out the same way.
template <class Each>
void EachTag(std::string_view tiff, const Each& each) {
  if (tiff.size() < 8 || (!tiff.starts_with("II") && !tiff.starts_with("MM"))) return;
  const bool little = tiff[0] == 'I';
  const std::size_t at = Number(tiff, 4, 4, little);
  if (at + 2 > tiff.size()) return;
  const std::size_t count = Number(tiff, at, 2, little);
  for (std::size_t i = 0; i < count && at + 2 + 12 * (i + 1) <= tiff.size(); ++i) {
    const std::size_t entry = at + 2 + 12 * i;
    each(Number(tiff, entry, 2, little), Number(tiff, entry + 2, 2, little), entry + 8, little);
  }
}

int OrientationInTiff(std::string_view tiff) {
  int orientation = 1;
  EachTag(tiff, [&](unsigned tag, unsigned, std::size_t value, bool little) {
    const auto told = Number(tiff, value, 2, little);
    if (tag == 0x0112 && told >= 1 && told <= 8) orientation = static_cast<int>(told);
  });
  return orientation;
}

/// The first directory's ImageWidth and ImageLength (tags 256 and 257, SHORT or LONG).
std::optional<cv::Size2d> SizeInTiff(std::string_view tiff) {
  cv::Size2d size(0, 0);
  EachTag(tiff, [&](unsigned tag, unsigned type, std::size_t value, bool little) {
    const double number = Number(tiff, value, type == 3 ? 2 : 4, little);
    if (tag == 0x0100) size.width = number;
    if (tag == 0x0101) size.height = number;
  });
  return size.width > 0 && size.height > 0 ? std::optional(size) : std::nullopt;
}

int OrientationInJpeg(std::string_view bytes) {
  constexpr auto kExif = "Exif\0\0"sv;  ///< Format: of the file.
  std::size_t at = 2;
  while (at + 4 <= bytes.size() && Byte(bytes, at) == 0xFF && Byte(bytes, at + 1) != 0xDA) {
    const std::size_t length = Number(bytes, at + 2, 2, false);
    const auto segment = bytes.substr(at + 4, length < 2 ? 0 : length - 2);
    if (Byte(bytes, at + 1) == 0xE1 && segment.starts_with(kExif))
      return OrientationInTiff(segment.substr(kExif.size()));
    at += 2 + length;
  }
  return 1;
}

int OrientationInPng(std::string_view bytes) {
  int told = 1;
  WalkPng(bytes, [&told](std::string_view type, std::string_view data) {
    if (type == "eXIf") told = OrientationInTiff(data);
    return type != "IDAT" && type != "eXIf";
  });
  return told;
}

bool IsJpeg(std::string_view bytes) { return bytes.starts_with("\xFF\xD8"); }
bool IsTiff(std::string_view bytes) { return bytes.starts_with("II*\0"sv) || bytes.starts_with("MM\0*"sv); }
bool IsBmp(std::string_view bytes) { return bytes.starts_with("BM") && bytes.size() > 26; }

constexpr const char* kNone = " is not a picture that can be read; a JPEG, PNG or TIFF is wanted.";

/// Width and height as the header tells; nullopt where it tells none.
std::optional<cv::Size2d> SizeTold(std::string_view bytes) {
  if (IsBmp(bytes)) {
    const auto side = [&](std::size_t at) {
      return std::abs(static_cast<double>(static_cast<std::int32_t>(Number(bytes, at, 4, true))));
    };
    return cv::Size2d(side(18), side(22));
  }
  if (IsTiff(bytes)) return SizeInTiff(bytes);
  const auto told = SizeFromHeader(std::string(bytes.substr(0, std::min<std::size_t>(bytes.size(), 1u << 20))));
  return told ? std::optional(cv::Size2d(*told)) : std::nullopt;
}

}  // namespace

std::string DamageOf(std::string_view bytes) {
  if (IsJpeg(bytes)) return JpegDamage(bytes);
  if (bytes.starts_with(kPng)) return WalkPng(bytes, [](std::string_view, std::string_view) { return true; });
  return "";
}

int OrientationOf(std::string_view bytes) {
  if (IsJpeg(bytes)) return OrientationInJpeg(bytes);
  if (bytes.starts_with(kPng)) return OrientationInPng(bytes);
  return IsTiff(bytes) ? OrientationInTiff(bytes) : 1;
}

std::string RefusalOf(std::string_view bytes) {
  if (bytes.size() > kMostPictureBytes)
    return " has " + std::to_string(bytes.size()) + " bytes; of a picture at most " +
           std::to_string(kMostPictureBytes) + " are taken.";
  const auto told = SizeTold(bytes);
  if (!told) return kNone;  // another format; or a size that only the decoder finds, which bounds nothing
  if (told->width <= 0 || told->height <= 0 || told->width * told->height > kMostPixels)
    return " is " + std::to_string(std::llround(told->width)) + " x " + std::to_string(std::llround(told->height)) +
           " px; at most 200 million px are taken.";
  const auto damage = DamageOf(bytes);  // before decoding: the decoder behind OpenCV would speak on standard error
  if (!damage.empty()) return " is damaged: " + damage + "; copy it again from the camera, nothing is measured by it.";
  return "";
}

Result<cv::Mat> DecodePicture(std::string_view bytes, const std::string& name, Colour colour) {
  if (const auto refusal = RefusalOf(bytes); !refusal.empty()) return BadInput(name + refusal);
  if (IsTiff(bytes) && OrientationOf(bytes) != 1)
    return BadInput(name + " asks to be turned (orientation " + std::to_string(OrientationOf(bytes)) +
                    "); write it as the sensor laid it down, with orientation 1.");
  cv::Mat image;
  try {
    const cv::Mat data(1, static_cast<int>(bytes.size()), CV_8U, const_cast<char*>(bytes.data()));
    const int flags =
        (colour == Colour::kBgr ? cv::IMREAD_COLOR : cv::IMREAD_GRAYSCALE) | cv::IMREAD_IGNORE_ORIENTATION;
    image = cv::imdecode(data, flags);
  } catch (const cv::Exception&) {
    image.release();
  }
  if (image.empty()) return BadInput(name + kNone);
  return image;
}

Result<cv::Mat> ReadPicture(const std::filesystem::path& file, Colour colour) {
  auto bytes = ReadFileWhole(file, kMostPictureBytes);
  if (!bytes.ok()) return bytes.error();
  return DecodePicture(bytes.value(), file.string(), colour);
}

}  // namespace vision::recording
