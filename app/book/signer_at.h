#pragma once

#include <memory>
#include <string>

#include "app/book/keys.h"

namespace app::book {

/// What unlocks a key; never kept, never on a command line.
struct Secrets {
  std::string passphrase;  ///< Of a key in a file; empty: not encrypted.
  std::string pin;         ///< Of a token.
};

/// The key that `where` names: a file, or a token's address (token.h).
/// @param make Made there; an error where there is one. @return As PrivateKey and TokenKey.
vision::Result<std::shared_ptr<const Signer>> SignerAt(const std::string& where, const Secrets& secrets,
                                                       bool make = false);

}  // namespace app::book
