#include "app/book/bundle_parts.h"

#include <algorithm>

#include "app/book/shape.h"
#include "app/book/text_gate.h"
#include "app/joint/json_check.h"
#include "vision/base/text.h"

namespace app::book {

NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE(Revision, joint, number, author, login, made_at, reason, parent, hash, body)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE(SignOff, text, signature, fingerprint, login, hash)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE(KnownKey, name, public_hex, added_by, added_at)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE(TimeStamp, signoff, request, response, login, hash)

nlohmann::ordered_json ToJson(const JointHistory& history) {
  nlohmann::ordered_json json{{"revisions", nlohmann::json(history.revisions)},
                              {"signoffs", nlohmann::json(history.signoffs)},
                              {"keys", nlohmann::json::object()}};
  for (const auto& [fingerprint, key] : history.keys) json["keys"][fingerprint] = nlohmann::json(key);
  if (!history.times.empty()) json["times"] = nlohmann::json(history.times);  // absent, as before there were any
  return json;
}

namespace {
/// The keys of a history, by fingerprint.
vision::Result<std::map<std::string, KnownKey>> KeysFrom(const nlohmann::json& json, const std::string& name) {
  std::map<std::string, KnownKey> keys;
  if (!json.is_object()) return vision::BadInput(name + ": keys must be an object.");
  const nlohmann::json sample = KnownKey{};
  for (const auto& [fingerprint, key] : json.items()) {
    if (auto wrong = CheckShape(name + ": a key", key, sample)) return *wrong;
    try {
      keys[fingerprint] = key.get<KnownKey>();
    } catch (const nlohmann::json::exception&) {
      return vision::BadInput(name + ": the key " + vision::Printable(fingerprint) +
                              " lacks something that a key has.");
    }
  }
  return keys;
}
}  // namespace

vision::Result<JointHistory> HistoryFromJson(const std::string& text, const std::string& file) {
  const std::string name = file + ": history.json";
  auto json = app::joint::ParseJson(text, name);
  if (!json.ok()) return json.error();
  nlohmann::json rest = json.value();
  const nlohmann::json keys_json = rest.is_object() ? rest.value("keys", nlohmann::json()) : nlohmann::json();
  if (rest.is_object()) rest.erase("keys");
  static const nlohmann::json sample{{"revisions", {nlohmann::json(Revision{})}},
                                     {"signoffs", {nlohmann::json(SignOff{})}},
                                     {"times", {nlohmann::json(TimeStamp{})}}};
  if (auto wrong = CheckShape(name, rest, sample)) return *wrong;
  auto keys = KeysFrom(keys_json, name);
  if (!keys.ok()) return keys.error();
  try {
    JointHistory history{rest.at("revisions"), rest.at("signoffs"), std::move(keys).value(),
                         rest.value("times", std::vector<TimeStamp>())};
    for (auto& signoff : history.signoffs) {
      auto statement = StatementFromJson(signoff.text);
      if (!statement.ok()) return vision::BadInput(name + ": " + statement.error().message + ".");
      signoff.statement = statement.value();
      signoff.kind = signoff.statement.kind;
    }
    return history;
  } catch (const nlohmann::json::exception&) {
    return vision::BadInput(name + " lacks something that a joint's history has.");
  }
}

namespace {
/// Keys that signed, under fit names, and no others: a bundle brings nobody in by the way.
vision::Status CheckKeys(const JointHistory& history, const std::string& name) {
  for (const auto& [fingerprint, key] : history.keys) {
    if (auto wrong = CheckKey(key)) return vision::BadInput(name + ": " + wrong->message);
    if (Fingerprint(key.public_hex) != fingerprint)
      return vision::BadInput(name + ": the key " + fingerprint + " is not the one of this fingerprint.");
    const bool used =
        std::any_of(history.signoffs.begin(), history.signoffs.end(),
                    [&which = fingerprint](const SignOff& signoff) { return signoff.fingerprint == which; });
    if (!used) return vision::BadInput(name + ": nothing is signed with the key " + fingerprint + ".");
  }
  return std::nullopt;
}
}  // namespace

namespace {
/// Stamps that hold, of sign-offs that are there.
vision::Status CheckTimes(const JointHistory& history, const std::string& name) {
  for (const auto& stamp : history.times) {
    const bool known = std::any_of(history.signoffs.begin(), history.signoffs.end(),
                                   [&](const SignOff& signoff) { return signoff.hash == stamp.signoff; });
    if (!known) return vision::BadInput(name + ": a time stamp is of no sign-off that is there.");
    if (stamp.ComputeHash() != stamp.hash)
      return vision::BadInput(name + ": a time stamp is no longer what was stored.");
    if (const auto time = TimeOf(stamp, ""); !time.ok())
      return vision::BadInput(name + ": a time stamp does not hold: " + time.error().message + ".");
  }
  return std::nullopt;
}
}  // namespace

vision::Status CheckHistory(const JointHistory& history, const std::string& name) {
  if (history.revisions.empty()) return vision::BadInput(name + " holds no revision.");
  std::string parent;
  std::int64_t number = 0;
  for (const auto& revision : history.revisions) {
    const std::string which = name + ": revision " + std::to_string(revision.number);
    if (revision.joint != history.revisions.front().joint) return vision::BadInput(which + " is of another joint.");
    if (revision.number != ++number || revision.parent != parent)
      return vision::BadInput(which + " does not follow from the one before it.");
    if (revision.ComputeHash() != revision.hash)
      return vision::BadInput(which + " is no longer what was saved: its SHA-256 differs.");
    parent = revision.hash;
  }
  for (const auto& signoff : history.signoffs) {
    const auto& statement = signoff.statement;
    const std::string which = name + ": the sign-off by " + statement.name;
    if (statement.joint != history.revisions.front().joint || statement.revision < 1 || statement.revision > number)
      return vision::BadInput(which + " is of a revision that is not there.");
    const auto key = history.keys.find(signoff.fingerprint);
    const auto fault = SignOffFault(signoff, history.revisions[static_cast<std::size_t>(statement.revision - 1)].hash,
                                    key == history.keys.end() ? std::nullopt : std::optional(key->second));
    if (!fault.empty()) return vision::BadInput(which + " is broken: " + fault + ".");
  }
  if (auto wrong = CheckTimes(history, name)) return wrong;
  return CheckKeys(history, name);
}

}  // namespace app::book
