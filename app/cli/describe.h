#pragma once

#include <CLI/CLI.hpp>
#include <string>

namespace app::cli {

/// The command's own description as JSON: name, words, options and commands below it. Manual pages and shell completion
/// are made from it (scripts/man_pages).
std::string Describe(const CLI::App& program);

}  // namespace app::cli
