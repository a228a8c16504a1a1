#pragma once

#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

/// The built program, run as a person runs it.
namespace cli_test {

struct Outcome {
  int exit_code = -1;
  std::string out, err;
};

/// Runs the program; each argument is quoted.
Outcome RunProgram(const std::vector<std::string>& arguments);

std::string Bytes(const std::filesystem::path& file);
void Write(const std::filesystem::path& file, const std::string& bytes);

/// A new folder that holds the demo's recordings (as links).
std::filesystem::path DemoCopy(const std::string& name);

/// The demo's joint file, to be changed.
nlohmann::json DemoJoint();

}  // namespace cli_test
