#pragma once

#include <string>

#include "vision/base/result.h"

/// Files of ours are JSON, each of a format with a schema of its own (draft-07).
namespace vision {

/// First broken rule of a JSON text against a schema's text; of several faults the innermost, which says most.
/// @param name Goes into the sentence. @param writer What writes such a file, for people.
Status CheckJsonText(const std::string& text, const char* schema, const std::string& name, const std::string& writer);

}  // namespace vision
