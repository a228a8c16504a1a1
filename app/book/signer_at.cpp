#include "app/book/signer_at.h"

#include "app/book/token.h"

namespace app::book {
namespace {

using Key = std::shared_ptr<const Signer>;

template <class Found>
vision::Result<Key> Held(vision::Result<Found> key) {
  if (!key.ok()) return key.error();
  return Key(std::make_shared<Found>(std::move(key).value()));
}

}  // namespace

vision::Result<Key> SignerAt(const std::string& where, const Secrets& secrets, bool make) {
  if (!TokenAddress::Is(where))
    return Held(make ? PrivateKey::Make(where, secrets.passphrase) : PrivateKey::Load(where, secrets.passphrase));
  auto address = TokenAddress::Parse(where);
  if (!address.ok()) return address.error();
  auto pin = address.value().Pin(secrets.pin);
  if (!pin.ok()) return pin.error();
  return Held(make ? TokenKey::Make(address.value(), pin.value()) : TokenKey::Find(address.value(), pin.value()));
}

}  // namespace app::book
