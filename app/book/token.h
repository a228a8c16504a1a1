#pragma once

#include <memory>
#include <string>

#include "app/book/keys.h"

/// Ed25519 keys on a PKCS #11 token (version 2.40 with the EdDSA mechanism of 3.0), used through the module that the
/// token's maker ships. The private part never leaves the token.
namespace app::book {

/// A key on a token, as RFC 7512 writes it: `pkcs11:token=NAME;object=KEY?module-path=FILE[&pin-source=file:FILE]`.
struct TokenAddress {
  std::string token;       ///< The token's label.
  std::string object;      ///< The key's label.
  std::string module;      ///< Path of the module; must be absolute.
  std::string pin_source;  ///< File whose first line is the PIN; "" = none.

  static bool Is(const std::string& text) { return text.starts_with("pkcs11:"); }
  /// @return kBadInput for what cannot be used, and for a `pin-value`: a PIN never stands on a command line.
  static vision::Result<TokenAddress> Parse(const std::string& text);

  /// The first line of `pin_source`, else `otherwise`. @return kIo when the file cannot be read.
  vision::Result<std::string> Pin(const std::string& otherwise) const;
};

/// Logged in to the token as long as it lives.
class TokenKey final : public Signer {
 public:
  /// Finds the key. @return kBadInput when module, token or key is not there, is there twice, or is no Ed25519 key;
  ///   kIo when the token refuses the PIN or does not answer; one sentence.
  static vision::Result<TokenKey> Find(const TokenAddress& address, const std::string& pin);
  /// Makes the key on the token, never to be taken off it. @return As Find; kBadInput when there is one so named.
  static vision::Result<TokenKey> Make(const TokenAddress& address, const std::string& pin);

  std::string PublicHex() const override { return public_hex_; }
  vision::Result<std::string> Sign(const std::string& message) const override;

 private:
  struct Session;
  TokenKey(std::shared_ptr<Session> session, unsigned long key, std::string public_hex)
      : session_(std::move(session)), key_(key), public_hex_(std::move(public_hex)) {}
  static vision::Result<TokenKey> FindIn(const std::shared_ptr<Session>& session, const TokenAddress& address);

  std::shared_ptr<Session> session_;
  unsigned long key_;
  std::string public_hex_;
};

}  // namespace app::book
