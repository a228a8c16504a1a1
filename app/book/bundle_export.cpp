#include <set>

#include "app/book/bundle.h"
#include "app/book/bundle_parts.h"
#include "app/book/digest.h"
#include "app/book/zip.h"

namespace app::book {

namespace {
vision::Result<JointHistory> LoadHistory(Book& book, const std::string& joint) {
  JointHistory history;
  auto revisions = book.History(joint);
  if (!revisions.ok()) return revisions.error();
  if (revisions.value().empty()) return vision::NotFound("There is no joint " + joint + " in this book.");
  for (const auto& head : revisions.value()) {
    auto revision = book.Load(joint, head.number);
    if (!revision.ok()) return revision.error();
    history.revisions.push_back(std::move(revision).value());
  }
  auto signoffs = SignOffs(book, joint);
  if (!signoffs.ok()) return signoffs.error();
  history.signoffs = signoffs.value();
  auto times = TimeStamps(book, joint);
  if (!times.ok()) return times.error();
  history.times = times.value();
  for (const auto& signoff : history.signoffs) {
    auto key = FindKey(book, signoff.fingerprint);
    if (!key.ok()) return key.error();
    if (key.value()) history.keys[signoff.fingerprint] = *key.value();
  }
  return history;
}

/// Every file that any revision names, once.
vision::Result<std::map<std::string, FileRef>> FilesOf(const JointHistory& history) {
  std::map<std::string, FileRef> files;
  for (const auto& revision : history.revisions) {
    auto record = FromJson(revision.body, "Joint " + revision.joint + ", revision " + std::to_string(revision.number));
    if (!record.ok()) return record.error();
    for (const auto* file : record.value().Files()) files.try_emplace(file->sha256, *file);
  }
  return files;
}
}  // namespace

vision::Status ExportBundle(Book& book, const std::string& joint, const std::filesystem::path& file) {
  auto history = LoadHistory(book, joint);
  if (!history.ok()) return history.error();
  if (auto wrong = CheckHistory(history.value(), "Joint " + joint)) return wrong;
  auto files = FilesOf(history.value());
  if (!files.ok()) return files.error();
  nlohmann::ordered_json manifest{{"format", kBundleFormat},
                                  {"joint", joint},
                                  {"newest_revision", history.value().revisions.back().hash},
                                  {"files", nlohmann::ordered_json::array()}};
  std::vector<ZipEntry> entries;
  const auto list = [&](const std::string& name, const std::string& sha256, std::int64_t bytes) {
    manifest["files"].push_back({{"name", name}, {"sha256", sha256}, {"bytes", bytes}});
  };
  const std::string record = nlohmann::json::parse(history.value().revisions.back().body).dump(1) + "\n";
  const std::string all = ToJson(history.value()).dump(1) + "\n";
  for (const auto& [name, bytes] : {std::pair{"record.json", record}, std::pair{"history.json", all}}) {
    entries.push_back({name, bytes, {}});
    list(name, Sha256(bytes), static_cast<std::int64_t>(bytes.size()));
  }
  for (const auto& [sha256, ref] : files.value()) {
    const auto path = book.evidence().PathOf(ref);
    auto hash = Sha256OfFile(path);
    if (!hash.ok()) return hash.error();
    if (hash.value() != sha256)
      return vision::BadInput("The file " + ref.name + " (" + path.string() +
                              ") is no longer what was recorded; nothing was exported.");
    entries.push_back({"files/" + sha256, {}, path});
    list(entries.back().name, sha256, ref.bytes);
  }
  entries.insert(entries.begin(), {"manifest.json", manifest.dump(1) + "\n", {}});
  return WriteZip(file, entries);
}

}  // namespace app::book
