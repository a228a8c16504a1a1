#pragma once

#include <string>

#include "vision/live/watch.h"

namespace vision::live {

/// The run as JSON text, `rootscroll.watch/1` (watch.schema.json, which is installed).
std::string WatchJson(const WatchOptions& options, const Watched& watched);

/// The text of watch.schema.json.
std::string WatchSchema();

}  // namespace vision::live
