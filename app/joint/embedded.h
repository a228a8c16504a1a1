#pragma once

#include <string>
#include <string_view>
#include <vector>

/// The data files of this room (schemas, pipe sizes, criteria sets), built into the program so that it runs anywhere.
namespace app::joint {

struct EmbeddedFile {
  std::string_view name;  ///< Path below app/joint, such as "criteria/iso-5817-2014-b.json".
  std::string_view text;
};

const std::vector<EmbeddedFile>& EmbeddedFiles();

/// @return The text of an embedded file; the name must exist (std::logic_error otherwise: a programmer's mistake).
std::string EmbeddedText(std::string_view name);

}  // namespace app::joint
