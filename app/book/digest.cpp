#include "app/book/digest.h"

#include <fcntl.h>
#include <openssl/evp.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <memory>

namespace app::book {

namespace {
using Digest = std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)>;

Digest Start() {
  Digest digest(EVP_MD_CTX_new(), EVP_MD_CTX_free);
  EVP_DigestInit_ex(digest.get(), EVP_sha256(), nullptr);
  return digest;
}

std::string Finish(const Digest& digest) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> bytes{};
  unsigned int count = 0;
  EVP_DigestFinal_ex(digest.get(), bytes.data(), &count);
  std::string text;
  for (unsigned int i = 0; i < count; ++i) {
    text += "0123456789abcdef"[bytes[i] >> 4];
    text += "0123456789abcdef"[bytes[i] & 15];
  }
  return text;
}
}  // namespace

std::string Sha256(const std::string& bytes) {
  const Digest digest = Start();
  EVP_DigestUpdate(digest.get(), bytes.data(), bytes.size());
  return Finish(digest);
}

vision::Result<std::string> Sha256OfFile(const std::filesystem::path& file, std::uint64_t bytes) {
  const vision::Error cannot{vision::ErrorCode::kIo, "Cannot read " + file.string() + "."};
  const int descriptor = ::open(file.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC);  // a FIFO does not make it wait
  if (descriptor < 0) return cannot;
  const std::unique_ptr<const int, void (*)(const int*)> closed(&descriptor, [](const int* open) { ::close(*open); });
  struct stat state {};
  if (::fstat(descriptor, &state) != 0) return cannot;
  if (!S_ISREG(state.st_mode))
    return vision::BadInput(file.string() + " is not a regular file; a device, FIFO or folder is no evidence.");
  const Digest digest = Start();
  std::string piece(1u << 20, '\0');
  ssize_t count = 0;
  while (bytes > 0 && (count = ::read(descriptor, piece.data(), std::min<std::uint64_t>(bytes, piece.size()))) > 0) {
    EVP_DigestUpdate(digest.get(), piece.data(), static_cast<std::size_t>(count));
    bytes -= static_cast<std::uint64_t>(count);
  }
  if (count < 0) return cannot;
  return Finish(digest);
}

}  // namespace app::book
