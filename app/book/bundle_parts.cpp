#include "app/book/bundle_parts.h"

namespace app::book {

NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE(Revision, joint, number, author, login, made_at, reason, parent, hash, body)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE(SignOff, text, signature, fingerprint, login, hash)
NLOHMANN_DEFINE_TYPE_NON_INTRUSIVE(KnownKey, name, public_hex, added_by, added_at)

nlohmann::ordered_json ToJson(const JointHistory& history) {
  nlohmann::ordered_json json{{"revisions", nlohmann::json(history.revisions)},
                              {"signoffs", nlohmann::json(history.signoffs)},
                              {"keys", nlohmann::json::object()}};
  for (const auto& [fingerprint, key] : history.keys) json["keys"][fingerprint] = nlohmann::json(key);
  return json;
}

vision::Result<JointHistory> HistoryFromJson(const std::string& text, const std::string& name) {
  const auto json = nlohmann::json::parse(text, nullptr, false);
  try {
    JointHistory history;
    json.at("revisions").get_to(history.revisions);
    json.at("signoffs").get_to(history.signoffs);
    for (const auto& [fingerprint, key] : json.at("keys").items()) history.keys[fingerprint] = key.get<KnownKey>();
    for (auto& signoff : history.signoffs) {
      auto statement = StatementFromJson(signoff.text);
      if (!statement.ok()) return vision::BadInput(name + ": " + statement.error().message + ".");
      signoff.statement = statement.value();
    }
    return history;
  } catch (const nlohmann::json::exception& wrong) {
    return vision::BadInput(name + ": history.json is not a joint's history (" + wrong.what() + ").");
  }
}

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
  return std::nullopt;
}

}  // namespace app::book
