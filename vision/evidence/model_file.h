#pragma once

#include <span>
#include <string_view>

/// The files of vision/evidence/model as they were built in.
namespace vision::evidence {

constexpr std::size_t kNetworks = 2;                    ///< Format: of the model's file.
std::span<const char> NetworkBytes(std::size_t which);  ///< strip_reader_{which + 1}.onnx.gz, as packed.
std::string_view FactsText();                           ///< strip_reader.json, which names the networks' SHA-256.
std::string_view FactsSha256();  ///< Hexadecimal, of strip_reader.json, taken when the build was configured.

}  // namespace vision::evidence
