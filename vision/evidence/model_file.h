#pragma once

#include <span>
#include <string_view>

/// The files of vision/evidence/model as they were built in.
namespace vision::evidence {

std::span<const char> NetworkBytes();  ///< strip_reader.onnx.gz, as packed.
std::string_view FactsText();          ///< strip_reader.json
std::string_view NetworkSha256();      ///< Hexadecimal, of the bytes above, taken when the build was configured.

}  // namespace vision::evidence
