#pragma once

#include <string>
#include <string_view>

namespace vision::recording {

/// What the JPEG decoder (libjpeg) warns of when it decodes the whole picture, and what WalkJpeg finds that it passes
/// over; "" when nothing.
std::string JpegDamage(std::string_view bytes);

}  // namespace vision::recording
