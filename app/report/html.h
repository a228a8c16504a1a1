#pragma once

#include <string>

#include "app/report/content.h"

namespace app::report {

/// One self-contained file: own style with print rules, pictures as data URIs, no scripts, nothing fetched.
/// @param paper_css "A4" or "letter", for printing. @param misses What had no other words.
std::string ToHtml(const Content& content, const std::string& paper_css, const Wording& wording, QStringList& misses);

}  // namespace app::report
