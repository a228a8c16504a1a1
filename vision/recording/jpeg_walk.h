#pragma once

#include <string_view>

namespace vision::recording {

/// What the coded data of a sequential JPEG (ITU-T T.81, annexes B and F; SOF0 and SOF1, 8 bit, one interleaved scan)
/// hold that no coder writes. Decoders pass over most of it.
enum class Walked {
  kRight,
  kOther,     ///< Not this kind of JPEG: nothing can be said.
  kBadCode,   ///< Bits that are no code.
  kTooFar,    ///< A run beyond the end of its block (F.1.2.2).
  kTooLarge,  ///< A coefficient beyond what 8-bit samples can give.
  kTooShort,  ///< The data end before the picture's last unit begins.
  kLeftOver,  ///< Data are left behind the last block.
  kJump,      ///< From one unit on all is lighter or darker (jpeg_seam.h).
};

Walked WalkJpeg(std::string_view bytes);

}  // namespace vision::recording
