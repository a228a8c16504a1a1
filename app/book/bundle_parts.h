#pragma once

#include <map>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "app/book/signoff.h"
#include "app/book/time_stamp.h"

/// What the two ways through a bundle share.
namespace app::book {

constexpr const char* kBundleFormat = "rootscroll.bundle/2";
constexpr const char* kFirstBundleFormat = "rootscroll.bundle/1";  ///< Without a sum over the whole file.

/// A joint as the book holds it.
struct JointHistory {
  std::vector<Revision> revisions;
  std::vector<SignOff> signoffs;
  std::map<std::string, KnownKey> keys;  ///< By fingerprint.
  std::vector<TimeStamp> times;          ///< Of its sign-offs.
};

nlohmann::ordered_json ToJson(const JointHistory& history);
vision::Result<JointHistory> HistoryFromJson(const std::string& text, const std::string& name);

/// @return First revision, parent or signature that does not hold.
vision::Status CheckHistory(const JointHistory& history, const std::string& name);

}  // namespace app::book
