#include "app/book/digest.h"

#include <openssl/evp.h>

#include <array>
#include <fstream>
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

vision::Result<std::string> Sha256OfFile(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  if (!in) return vision::Error{vision::ErrorCode::kIo, "Cannot read " + file.string() + "."};
  const Digest digest = Start();
  std::string piece(1u << 20, '\0');
  while (in.read(piece.data(), static_cast<std::streamsize>(piece.size())), in.gcount() > 0)
    EVP_DigestUpdate(digest.get(), piece.data(), static_cast<std::size_t>(in.gcount()));
  if (in.bad()) return vision::Error{vision::ErrorCode::kIo, "Cannot read " + file.string() + "."};
  return Finish(digest);
}

}  // namespace app::book
