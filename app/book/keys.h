#pragma once

#include <filesystem>
#include <memory>
#include <string>

#include "vision/base/result.h"

/// Ed25519 keys (RFC 8032) that inspectors sign with. Raw keys and signatures are hexadecimal text.
namespace app::book {

/// What signs: a key in a file (PrivateKey), or on a token that never gives it away (TokenKey).
class Signer {
 public:
  virtual ~Signer() = default;
  virtual std::string PublicHex() const = 0;
  virtual vision::Result<std::string> Sign(const std::string& message) const = 0;
};

class PrivateKey final : public Signer {
 public:
  /// Makes a new key and writes it as PEM (PKCS #8), readable by its owner alone; encrypted (AES-256) where a
  /// passphrase is given. @return kBadInput when the file exists.
  static vision::Result<PrivateKey> Make(const std::filesystem::path& file, const std::string& passphrase);
  static vision::Result<PrivateKey> Load(const std::filesystem::path& file, const std::string& passphrase);
  /// From the 32 bytes of RFC 8032, as hexadecimal text.
  static vision::Result<PrivateKey> FromRaw(const std::string& hex);

  std::string PublicHex() const override;
  vision::Result<std::string> Sign(const std::string& message) const override;

 private:
  explicit PrivateKey(std::shared_ptr<void> key) : key_(std::move(key)) {}
  std::shared_ptr<void> key_;
};

/// Hexadecimal text of `bytes`, and back; "" for what is not hexadecimal in small digits.
std::string HexOf(const std::string& bytes);
std::string BytesOf(const std::string& hex);

/// Whether `signature` is of `message` by the key. False for anything malformed.
bool SignatureHolds(const std::string& public_hex, const std::string& message, const std::string& signature);

/// SHA-256 of the raw public key.
std::string Fingerprint(const std::string& public_hex);

/// Whether `public_hex` is a key that only its owner can sign with: 64 small hexadecimal digits, and none of the points
/// of small order (RFC 8032, section 5.1), under which a signature can be made up that holds.
bool IsPublicKey(const std::string& public_hex);

}  // namespace app::book
