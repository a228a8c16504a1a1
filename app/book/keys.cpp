#include "app/book/keys.h"

#include <fcntl.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <set>
#include <vector>

#include "app/book/digest.h"

namespace app::book {

namespace {
using Bytes = std::vector<unsigned char>;
using Key = std::shared_ptr<EVP_PKEY>;
using Context = std::unique_ptr<EVP_MD_CTX, decltype(&EVP_MD_CTX_free)>;
using File = std::unique_ptr<std::FILE, int (*)(std::FILE*)>;

std::string Hex(const Bytes& bytes) { return HexOf(std::string(bytes.begin(), bytes.end())); }

Bytes FromHex(const std::string& text) {
  const std::string bytes = BytesOf(text);
  return Bytes(bytes.begin(), bytes.end());
}

Key Owned(EVP_PKEY* key) { return Key(key, EVP_PKEY_free); }
EVP_PKEY* Raw(const std::shared_ptr<void>& key) { return static_cast<EVP_PKEY*>(key.get()); }
const unsigned char* Data(const std::string& text) { return reinterpret_cast<const unsigned char*>(text.data()); }

vision::Error NoKey(const std::filesystem::path& file) {
  return vision::BadInput(file.string() +
                          " is not an Ed25519 private key in PEM form, or the passphrase is not the right one.");
}

int NoQuestion(char*, int, int, void*) { return 0; }
}  // namespace

std::string HexOf(const std::string& bytes) {
  std::string text;
  for (const char c : bytes) {
    const auto byte = static_cast<unsigned char>(c);
    text += "0123456789abcdef"[byte >> 4];
    text += "0123456789abcdef"[byte & 15];
  }
  return text;
}

std::string BytesOf(const std::string& hex) {
  const std::string digits = "0123456789abcdef";
  if (hex.size() % 2 != 0 || hex.find_first_not_of(digits) != std::string::npos) return "";
  std::string bytes;
  for (std::size_t i = 0; i < hex.size(); i += 2)
    bytes += static_cast<char>(digits.find(hex[i]) * 16 + digits.find(hex[i + 1]));
  return bytes;
}

vision::Result<PrivateKey> PrivateKey::Make(const std::filesystem::path& file, const std::string& passphrase) {
  const int descriptor = ::open(file.c_str(), O_WRONLY | O_CREAT | O_EXCL, 0600);
  if (descriptor < 0)
    return vision::BadInput("Cannot make the key file " + file.string() + "; it must not exist yet, its folder must.");
  const File out(::fdopen(descriptor, "wb"), std::fclose);
  const Key key = Owned(EVP_PKEY_Q_keygen(nullptr, nullptr, "ED25519"));
  const EVP_CIPHER* cipher = passphrase.empty() ? nullptr : EVP_aes_256_cbc();
  const bool written =
      key && PEM_write_PKCS8PrivateKey(out.get(), key.get(), cipher, cipher ? passphrase.data() : nullptr,
                                       static_cast<int>(passphrase.size()), nullptr, nullptr) == 1;
  if (!written || std::fflush(out.get()) != 0)
    return vision::Error{vision::ErrorCode::kIo, "Cannot write the key file " + file.string() + "."};
  return PrivateKey(key);
}

vision::Result<PrivateKey> PrivateKey::Load(const std::filesystem::path& file, const std::string& passphrase) {
  const File in(std::fopen(file.c_str(), "rb"), [](std::FILE* f) { return f ? std::fclose(f) : 0; });
  if (!in) return vision::Error{vision::ErrorCode::kIo, "No key file " + file.string() + "."};
  std::string word = passphrase;
  const Key key = Owned(PEM_read_PrivateKey(in.get(), nullptr, word.empty() ? NoQuestion : nullptr,
                                            word.empty() ? nullptr : word.data()));
  if (!key || EVP_PKEY_is_a(key.get(), "ED25519") != 1) return NoKey(file);
  return PrivateKey(key);
}

vision::Result<PrivateKey> PrivateKey::FromRaw(const std::string& hex) {
  const Bytes bytes = FromHex(hex);
  const Key key = Owned(EVP_PKEY_new_raw_private_key(EVP_PKEY_ED25519, nullptr, bytes.data(), bytes.size()));
  if (!key) return vision::BadInput("An Ed25519 private key is 32 bytes.");
  return PrivateKey(key);
}

std::string PrivateKey::PublicHex() const {
  std::size_t size = 32;
  Bytes bytes(size);
  EVP_PKEY_get_raw_public_key(Raw(key_), bytes.data(), &size);
  return Hex(bytes);
}

vision::Result<std::string> PrivateKey::Sign(const std::string& message) const {
  const Context context(EVP_MD_CTX_new(), EVP_MD_CTX_free);
  std::size_t size = 64;
  Bytes signature(size);
  if (EVP_DigestSignInit(context.get(), nullptr, nullptr, nullptr, Raw(key_)) != 1 ||
      EVP_DigestSign(context.get(), signature.data(), &size, Data(message), message.size()) != 1)
    return vision::Error{vision::ErrorCode::kIo, "The key does not sign."};
  return Hex(signature);
}

bool SignatureHolds(const std::string& public_hex, const std::string& message, const std::string& signature) {
  const Bytes raw = FromHex(public_hex), bytes = FromHex(signature);
  if (raw.size() != 32 || bytes.size() != 64) return false;
  const Key key = Owned(EVP_PKEY_new_raw_public_key(EVP_PKEY_ED25519, nullptr, raw.data(), raw.size()));
  const Context context(EVP_MD_CTX_new(), EVP_MD_CTX_free);
  return key && EVP_DigestVerifyInit(context.get(), nullptr, nullptr, nullptr, key.get()) == 1 &&
         EVP_DigestVerify(context.get(), bytes.data(), bytes.size(), Data(message), message.size()) == 1;
}

std::string Fingerprint(const std::string& public_hex) {
  const Bytes raw = FromHex(public_hex);
  return Sha256(std::string(raw.begin(), raw.end()));
}

bool IsPublicKey(const std::string& public_hex) {
  if (FromHex(public_hex).size() != 32) return false;
  // y of the points whose order divides 8, with and without the sign of x, and those written with y + p: bits 0 to 254
  // little-endian, p = 2^255 - 19. From memory; the test makes up signatures under them.
  static const std::set<std::string> small_order{"0000000000000000000000000000000000000000000000000000000000000000",
                                                 "0100000000000000000000000000000000000000000000000000000000000000",
                                                 "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
                                                 "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
                                                 "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
                                                 "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
                                                 "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f"};
  std::string y = public_hex;
  const std::string digits = "0123456789abcdef";
  y[62] = digits[digits.find(y[62]) & 7];  // without the sign of x
  return !small_order.contains(y);
}

}  // namespace app::book
