#include "app/book/token.h"

#include <dlfcn.h>
#include <p11-kit/pkcs11.h>

#include <fstream>
#include <string_view>
#include <vector>

#include "app/book/text_gate.h"

namespace app::book {

namespace {
vision::Error Io(const std::string& text) { return {vision::ErrorCode::kIo, text}; }

/// %41 to A; "" for what is malformed.
std::string Decoded(std::string_view text) {
  std::string plain;
  const auto digit = [](char c) { return std::string_view("0123456789abcdef").find(static_cast<char>(c | 32)); };
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] != '%') {
      plain += text[i];
      continue;
    }
    const auto high = i + 2 < text.size() ? digit(text[i + 1]) : std::string_view::npos;
    const auto low = i + 2 < text.size() ? digit(text[i + 2]) : std::string_view::npos;
    if (high == std::string_view::npos || low == std::string_view::npos) return "";
    plain += static_cast<char>(high * 16 + low);
    i += 2;
  }
  return plain;
}

vision::Status TakeAttribute(TokenAddress& address, const std::string& key, const std::string& value) {
  if (key == "pin-value")
    return vision::BadInput(
        "A PIN never stands on a command line, where others can read it; use ROOTSCROLL_TOKEN_PIN or pin-source.");
  const std::pair<const char*, std::string*> known[] = {{"token", &address.token},
                                                        {"object", &address.object},
                                                        {"module-path", &address.module},
                                                        {"pin-source", &address.pin_source}};
  for (const auto& [name, place] : known)
    if (key == name) return *place = value, std::nullopt;
  return vision::BadInput("The key's address has `" + key +
                          "`, which is not used here; token, object, module-path and pin-source are.");
}

/// Texts of PKCS #11 are padded with blanks.
template <class Field>
std::string Text(const Field& field) {
  const std::string text(reinterpret_cast<const char*>(field), sizeof field);
  const auto end = text.find_last_not_of(' ');
  return end == std::string::npos ? "" : text.substr(0, end + 1);
}
}  // namespace

vision::Result<TokenAddress> TokenAddress::Parse(const std::string& text) {
  TokenAddress address;
  const std::string rest = Is(text) ? text.substr(7) : "";
  for (std::size_t at = 0; at < rest.size();) {
    const auto end = std::min(rest.find_first_of(";?&", at), rest.size());
    const std::string part = rest.substr(at, end - at);
    const auto equals = std::min(part.find('='), part.size());
    if (auto wrong = TakeAttribute(address, part.substr(0, equals),
                                   equals < part.size() ? Decoded(part.substr(equals + 1)) : ""))
      return *wrong;
    at = end + 1;
  }
  if (address.pin_source.starts_with("file:")) address.pin_source.erase(0, 5);
  if (address.token.empty() || address.object.empty() || !address.module.starts_with('/'))
    return vision::BadInput(
        "A key on a token is written pkcs11:token=NAME;object=KEY?module-path=FILE, FILE with its whole path.");
  if (auto wrong = CheckNamed("The key's label on the token", address.object, kMostId)) return *wrong;
  return address;
}

vision::Result<std::string> TokenAddress::Pin(const std::string& otherwise) const {
  if (pin_source.empty()) return otherwise;
  std::ifstream in(pin_source);
  std::string line;
  if (!std::getline(in, line)) return Io("No PIN can be read from " + pin_source + ".");
  return line;
}

/// The module, loaded and logged in.
struct TokenKey::Session {
  void* module = nullptr;
  CK_FUNCTION_LIST* call = nullptr;
  CK_SESSION_HANDLE handle = 0;
  bool started = false, open = false;

  Session() = default;
  Session(const Session&) = delete;
  Session& operator=(const Session&) = delete;
  ~Session() {
    if (open) call->C_CloseSession(handle);  // the last one closed logs out
    if (started) call->C_Finalize(nullptr);
    if (module != nullptr) ::dlclose(module);
  }

  vision::Status Load(const std::string& file) {
    module = ::dlopen(file.c_str(), RTLD_NOW | RTLD_LOCAL);
    using List = CK_RV (*)(CK_FUNCTION_LIST**);
    const auto list = module == nullptr ? nullptr : reinterpret_cast<List>(::dlsym(module, "C_GetFunctionList"));
    if (list == nullptr || list(&call) != CKR_OK || call == nullptr)
      return vision::BadInput(file + " is no PKCS #11 module that can be loaded.");
    const CK_RV answer = call->C_Initialize(nullptr);
    started = answer == CKR_OK;
    if (!started && answer != CKR_CRYPTOKI_ALREADY_INITIALIZED) return Io("The module " + file + " does not start.");
    return std::nullopt;
  }

  vision::Status Open(const std::string& token, bool to_write) {
    CK_ULONG count = 0;
    if (call->C_GetSlotList(CK_TRUE, nullptr, &count) != CKR_OK) return Io("The module tells of no token.");
    std::vector<CK_SLOT_ID> slots(count);
    if (call->C_GetSlotList(CK_TRUE, slots.data(), &count) != CKR_OK) return Io("The module tells of no token.");
    slots.resize(count);
    std::vector<CK_SLOT_ID> named;
    for (const auto slot : slots) {
      CK_TOKEN_INFO info{};
      if (call->C_GetTokenInfo(slot, &info) == CKR_OK && Text(info.label) == token) named.push_back(slot);
    }
    if (named.size() != 1)
      return vision::BadInput((named.empty() ? "There is no token " : "There is more than one token ") + token + ".");
    const CK_FLAGS flags = CKF_SERIAL_SESSION | (to_write ? CKF_RW_SESSION : CK_FLAGS{0});
    if (call->C_OpenSession(named.front(), flags, nullptr, nullptr, &handle) != CKR_OK)
      return Io("The token " + token + " does not answer.");
    open = true;
    return std::nullopt;
  }

  vision::Status LogIn(const std::string& token, std::string pin) {
    if (pin.empty())
      return vision::BadInput("The token " + token +
                              " wants its PIN; set ROOTSCROLL_TOKEN_PIN, or name a file with pin-source.");
    const CK_RV answer = call->C_Login(handle, CKU_USER, reinterpret_cast<CK_UTF8CHAR*>(pin.data()), pin.size());
    if (answer == CKR_OK || answer == CKR_USER_ALREADY_LOGGED_IN) return std::nullopt;
    if (answer == CKR_PIN_LOCKED) return Io("The PIN of the token " + token + " is locked.");
    return Io("The token " + token + " refuses the PIN.");
  }

  /// Objects of this class with this label.
  std::vector<CK_OBJECT_HANDLE> Named(CK_OBJECT_CLASS kind, std::string label) const {
    CK_ATTRIBUTE wanted[] = {{CKA_CLASS, &kind, sizeof kind}, {CKA_LABEL, label.data(), label.size()}};
    std::vector<CK_OBJECT_HANDLE> found(3);
    CK_ULONG count = 0;
    if (call->C_FindObjectsInit(handle, wanted, 2) != CKR_OK) return {};
    if (call->C_FindObjects(handle, found.data(), found.size(), &count) != CKR_OK) count = 0;
    call->C_FindObjectsFinal(handle);
    found.resize(count);
    return found;
  }

  /// The 32 bytes of an Ed25519 public key: bare, or in a DER octet string, as tokens differ; "" for anything else.
  std::string Point(CK_OBJECT_HANDLE object) const {
    std::string bytes(256, '\0');
    CK_ATTRIBUTE point{CKA_EC_POINT, bytes.data(), bytes.size()};
    if (call->C_GetAttributeValue(handle, object, &point, 1) != CKR_OK || point.ulValueLen > bytes.size()) return "";
    bytes.resize(point.ulValueLen);
    if (bytes.size() == 34 && bytes.starts_with("\x04\x20")) bytes.erase(0, 2);
    return bytes.size() == 32 ? bytes : "";
  }

  vision::Status MakePair(std::string label) const {
    // RFC 8410 and PKCS #11 3.0, 2.3.5: the curve by its name, a printable string.
    std::string curve(
        "\x13\x0c"
        "edwards25519");
    CK_BBOOL yes = CK_TRUE, no = CK_FALSE;
    CK_ATTRIBUTE for_public[] = {{CKA_EC_PARAMS, curve.data(), curve.size()},
                                 {CKA_TOKEN, &yes, sizeof yes},
                                 {CKA_VERIFY, &yes, sizeof yes},
                                 {CKA_LABEL, label.data(), label.size()}};
    CK_ATTRIBUTE for_private[] = {{CKA_TOKEN, &yes, sizeof yes},     {CKA_PRIVATE, &yes, sizeof yes},
                                  {CKA_SENSITIVE, &yes, sizeof yes}, {CKA_EXTRACTABLE, &no, sizeof no},
                                  {CKA_SIGN, &yes, sizeof yes},      {CKA_LABEL, label.data(), label.size()}};
    CK_MECHANISM mechanism{CKM_EC_EDWARDS_KEY_PAIR_GEN, nullptr, 0};
    CK_OBJECT_HANDLE made_public = 0, made_private = 0;
    if (call->C_GenerateKeyPair(handle, &mechanism, for_public, std::size(for_public), for_private,
                                std::size(for_private), &made_public, &made_private) != CKR_OK)
      return Io("The token makes no Ed25519 key.");
    return std::nullopt;
  }
};

namespace {
/// Loaded, opened, logged in.
template <class Session>
vision::Result<std::shared_ptr<Session>> Enter(const TokenAddress& address, const std::string& pin, bool to_write) {
  auto session = std::make_shared<Session>();
  if (auto failed = session->Load(address.module)) return *failed;
  if (auto failed = session->Open(address.token, to_write)) return *failed;
  if (auto failed = session->LogIn(address.token, pin)) return *failed;
  return session;
}
}  // namespace

vision::Result<TokenKey> TokenKey::FindIn(const std::shared_ptr<Session>& session, const TokenAddress& address) {
  const auto keys = session->Named(CKO_PRIVATE_KEY, address.object),
             points = session->Named(CKO_PUBLIC_KEY, address.object);
  const std::string on = " " + address.object + " on the token " + address.token;
  if (keys.size() != 1 || points.size() != 1)
    return vision::BadInput(
        (keys.size() > 1 || points.size() > 1 ? "There is more than one key" : "There is no key pair") + on + ".");
  const std::string point = session->Point(points.front());
  if (point.empty()) return vision::BadInput("The key" + on + " is no Ed25519 key.");
  return TokenKey(session, keys.front(), HexOf(point));
}

vision::Result<TokenKey> TokenKey::Find(const TokenAddress& address, const std::string& pin) {
  auto session = Enter<Session>(address, pin, false);
  if (!session.ok()) return session.error();
  return FindIn(session.value(), address);
}

vision::Result<TokenKey> TokenKey::Make(const TokenAddress& address, const std::string& pin) {
  auto session = Enter<Session>(address, pin, true);
  if (!session.ok()) return session.error();
  for (const auto kind : {CKO_PRIVATE_KEY, CKO_PUBLIC_KEY})
    if (!session.value()->Named(kind, address.object).empty())
      return vision::BadInput("The token " + address.token + " has a key " + address.object +
                              " already; it is never written over.");
  if (auto failed = session.value()->MakePair(address.object)) return *failed;
  return FindIn(session.value(), address);
}

vision::Result<std::string> TokenKey::Sign(const std::string& message) const {
  CK_MECHANISM mechanism{CKM_EDDSA, nullptr, 0};
  std::string text = message, signature(64, '\0');
  CK_ULONG size = signature.size();
  const auto* call = session_->call;
  if (call->C_SignInit(session_->handle, &mechanism, key_) != CKR_OK ||
      call->C_Sign(session_->handle, reinterpret_cast<CK_BYTE*>(text.data()), text.size(),
                   reinterpret_cast<CK_BYTE*>(signature.data()), &size) != CKR_OK)
    return Io("The key on the token does not sign.");
  signature.resize(size);
  return HexOf(signature);
}

}  // namespace app::book
