#pragma once

#include <mutex>
#include <opencv2/core.hpp>
#include <opencv2/dnn.hpp>
#include <span>

/// Fitted networks as they are built into the program.
namespace vision::network {

/// A network kept as gzip'd ONNX (RFC 1952). May be asked from many threads; serves one at a time.
class PackedNetwork {
 public:
  explicit PackedNetwork(std::span<const char> packed);
  /// @param input N x C x H x W, float.
  cv::Mat Run(const cv::Mat& input);

 private:
  cv::dnn::Net net_;
  std::mutex in_use_;
};

}  // namespace vision::network

/// The assembler lays the file at `path` (a string literal) into the object, from `symbol`_begin to `symbol`_end, so
/// that no path is needed when the program runs.
#define ROOTSCROLL_EMBED(symbol, path)                                                                          \
  __asm__(".section .rodata\n.balign 16\n" #symbol "_begin:\n.incbin \"" path "\"\n" #symbol "_end:\n.text\n"); \
  extern "C" {                                                                                                  \
  extern const char symbol##_begin[], symbol##_end[];                                                           \
  }
