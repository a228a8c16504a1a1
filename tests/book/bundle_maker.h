#pragma once

#include <functional>
#include <map>
#include <nlohmann/json.hpp>
#include <string>

#include "app/book/digest.h"
#include "app/book/record.h"
#include "app/book/revision.h"
#include "app/book/zip.h"
#include "tests/book/support.h"

/// Bundles as somebody makes them who knows the format: every hash worked out again.
namespace book_test {

class BundleMaker {
 public:
  explicit BundleMaker(const fs::path& bundle) {
    auto zip = app::book::ZipReader::Open(bundle).value();
    history = nlohmann::json::parse(zip.Read("history.json").value());
    const auto all = zip.List().value();
    for (const auto& listed : all)
      if (listed.name.starts_with("files/")) files[listed.name] = zip.Read(listed.name).value();
    format = nlohmann::json::parse(zip.Read("manifest.json").value())["format"];
  }

  /// Changes the records of all revisions; hashes and parents follow, sign-offs go.
  void ChangeRecords(const std::function<void(nlohmann::json& record)>& change) {
    std::string parent;
    for (auto& json : history["revisions"]) {
      auto record = nlohmann::json::parse(json["body"].get<std::string>());
      change(record);
      json["body"] = record.dump();
      json["parent"] = parent;
      const app::book::Revision revision{json["joint"],   json["number"], json["author"], json["login"],
                                         json["made_at"], json["reason"], json["parent"], "",
                                         json["body"]};
      json["hash"] = parent = revision.ComputeHash();
    }
    DropSignOffs();
  }
  void DropSignOffs() {
    history["signoffs"] = nlohmann::json::array();
    history["keys"] = nlohmann::json::object();
  }

  /// Every file in the manifest, then the manifest itself changed by `change`.
  fs::path Write(const fs::path& out, const std::function<void(nlohmann::json& manifest)>& change = {}) const {
    std::map<std::string, std::string> entries = files;
    entries["history.json"] = history.dump(1);
    entries["record.json"] = history["revisions"].back()["body"];
    nlohmann::json manifest{{"format", format}, {"joint", history["revisions"][0]["joint"]}};
    for (const auto& [name, bytes] : entries)
      manifest["files"].push_back({{"name", name}, {"sha256", app::book::Sha256(bytes)}, {"bytes", bytes.size()}});
    if (change) change(manifest);
    std::vector<app::book::ZipEntry> zip{{"manifest.json", manifest.dump(1), {}}};
    for (const auto& [name, bytes] : entries) zip.push_back({name, bytes, {}});
    EXPECT_FALSE(app::book::WriteZip(out, zip));
    return out;
  }

  nlohmann::json history;
  std::map<std::string, std::string> files;
  std::string format;
};

}  // namespace book_test
