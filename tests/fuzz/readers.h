#pragma once

#include <functional>
#include <map>
#include <string>

/// Everything that reads bytes from outside, each as one function that takes them all and must come back: no crash, no
/// hang, no exception.
namespace fuzz {

using Reader = std::function<void(const std::string& bytes)>;

/// By name, which is also the name of its folder of seeds.
const std::map<std::string, Reader>& Readers();

}  // namespace fuzz
