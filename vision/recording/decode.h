#pragma once

#include <cstddef>
#include <filesystem>
#include <opencv2/core.hpp>
#include <string>
#include <string_view>

#include "vision/base/result.h"

/// Still pictures as the sensor laid them down: nothing is turned, and what a decoder warns of is damage.
namespace vision::recording {

enum class Colour { kBgr, kGrey };

/// Why a picture's bytes are damaged; "" when nothing shows it. JPEG (ITU-T T.81): its own decoder's warnings (bits
/// that fit no code, data that end early or go on too long), and values that no picture has. PNG (ISO/IEC 15948, 5.3):
/// the sum of every chunk, and the end. Other formats: "" always; they carry nothing that tells. A JPEG has no sum: a
/// change that its decoder takes for other picture content does not show.
std::string DamageOf(std::string_view bytes);

/// EXIF orientation (tag 0x0112) of a JPEG, PNG or TIFF; 1 = none or upright.
int OrientationOf(std::string_view bytes);

/// Why a picture's bytes are not decoded at all: no JPEG, PNG, TIFF or BMP (other decoders are never let near bytes
/// from outside), more than `kMostPictureBytes` of them, over 200 million px, or damage; "" when they may be. Said
/// after the picture's name.
std::string RefusalOf(std::string_view bytes);

constexpr std::size_t kMostPictureBytes = std::size_t{256} << 20;
constexpr double kMostPixels = 200e6;

/// @param name How the picture is called in a message.
/// @return Never empty. kBadInput when RefusalOf says so, it cannot be decoded, or is a TIFF that asks to be turned
/// (its decoder would turn it).
Result<cv::Mat> DecodePicture(std::string_view bytes, const std::string& name, Colour colour = Colour::kBgr);

/// The same of a file. @return kIo when it is missing or cannot be read.
Result<cv::Mat> ReadPicture(const std::filesystem::path& file, Colour colour = Colour::kBgr);

}  // namespace vision::recording
