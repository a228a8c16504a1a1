#pragma once

namespace app::viewer {

/// Translation context of texts that come from data (kinds, reasons, outcomes, cautions).
inline constexpr const char* kDataContext = "data";

}  // namespace app::viewer
