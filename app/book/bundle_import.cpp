#include <algorithm>
#include <set>

#include "app/book/bundle.h"
#include "app/book/bundle_parts.h"
#include "app/book/digest.h"
#include "app/book/judged.h"
#include "app/book/projection.h"
#include "app/book/shape.h"
#include "app/book/text_gate.h"
#include "app/book/zip.h"
#include "app/joint/json_check.h"
#include "vision/base/text.h"

namespace app::book {

namespace {
namespace fs = std::filesystem;

struct Listed {
  std::string sha256;
  std::int64_t bytes = 0;
};

/// What the manifest says of the bundle.
struct Manifest {
  bool summed = false;  ///< The file carries a sum over all of it (format 2).
  std::map<std::string, Listed> files;
};

vision::Result<Manifest> ReadManifest(const ZipReader& zip, const std::string& name, const ImportOptions& options) {
  auto text = zip.Read("manifest.json", options.most_text);
  if (!text.ok()) return text.error();
  const std::string which = name + ": manifest.json";
  auto json = app::joint::ParseJson(text.value(), which);
  if (!json.ok()) return json.error();
  static const nlohmann::json sample{{"format", ""},
                                     {"joint", ""},
                                     {"newest_revision", ""},
                                     {"files", {{{"name", ""}, {"sha256", ""}, {"bytes", 0}}}}};
  if (auto wrong = CheckShape(which, json.value(), sample)) return *wrong;
  const auto format = json.value().value("format", nlohmann::json());
  if (format != kBundleFormat && format != kFirstBundleFormat)
    return vision::BadInput(which + " must have the format " + kBundleFormat + ".");
  Manifest manifest{format == kBundleFormat, {}};
  for (const auto& file : json.value().value("files", nlohmann::json::array()))
    if (file.is_object() && file.contains("name") && file.contains("sha256") && file.contains("bytes"))
      manifest.files[file["name"]] = {file["sha256"], file["bytes"]};
  return manifest;
}

/// The archive's own directory against the manifest: nothing more, nothing less, no file larger than it may be. Nothing
/// is unpacked for this.
vision::Status CheckListing(const ZipReader& zip, const std::string& name, const Manifest& manifest,
                            const ImportOptions& options) {
  auto listed = zip.List();
  if (!listed.ok()) return listed.error();
  std::uint64_t in_all = 0;
  std::size_t met = 0;
  for (const auto& entry : listed.value()) {
    if (entry.name == "manifest.json") continue;
    const auto at = manifest.files.find(entry.name);
    const std::string which = name + ": " + vision::Printable(entry.name);
    if (at == manifest.files.end()) return vision::BadInput(which + " is not in the manifest.");
    if (at->second.bytes < 0 || entry.bytes != static_cast<std::uint64_t>(at->second.bytes))
      return vision::BadInput(which + " is not as large as the manifest says.");
    const bool evidence = entry.name == "files/" + at->second.sha256;
    if (!evidence && entry.name != "record.json" && entry.name != "history.json")
      return vision::BadInput(which + " has no place in a bundle.");
    if (evidence && !entry.stored)
      return vision::BadInput(which + " is compressed; evidence lies in a bundle as it is.");
    if (!evidence && entry.bytes > options.most_text)
      return vision::BadInput(which + " has " + std::to_string(entry.bytes) + " bytes; at most " +
                              std::to_string(options.most_text) + " are taken.");
    in_all += entry.bytes;
    ++met;
  }
  if (in_all > options.most_bytes)
    return vision::BadInput(name + " holds " + std::to_string(in_all) + " bytes of files; at most " +
                            std::to_string(options.most_bytes) + " are taken.");
  if (met != manifest.files.size()) return vision::BadInput(name + " lacks a file that its manifest names.");
  return std::nullopt;
}

/// Unpacks every file of the bundle beside the evidence store.
vision::Status TakeFiles(const ZipReader& zip, const std::string& name, const Manifest& manifest, Arrivals& arrivals) {
  for (const auto& [entry, listed] : manifest.files) {
    if (!entry.starts_with("files/")) continue;
    auto part = arrivals.Next();
    if (!part.ok()) return part.error();
    if (auto failed = zip.Extract(entry, part.value(), static_cast<std::size_t>(listed.bytes))) return failed;
    if (auto wrong = arrivals.Take(part.value(), listed.sha256)) return vision::BadInput(name + ": " + wrong->message);
  }
  return std::nullopt;
}

/// Every revision's record must be one that a book would take in, of this joint, with all its files in the bundle.
vision::Result<std::vector<Record>> CheckRecords(const JointHistory& history, const std::string& name,
                                                 const Manifest& manifest) {
  std::vector<Record> records;
  for (const auto& revision : history.revisions) {
    const std::string which = name + ": revision " + std::to_string(revision.number);
    for (const auto& [what, text] : {std::pair{"author", &revision.author},
                                     {"reason", &revision.reason},
                                     {"login", &revision.login},
                                     {"made_at", &revision.made_at}})
      if (auto wrong = CheckText(which + ", " + what + ",", *text)) return *wrong;
    auto record = FromJson(revision.body, which);
    if (!record.ok()) return record.error();
    if (auto wrong = record.value().Check()) return vision::BadInput(which + ": " + wrong->message);
    if (record.value().joint != revision.joint)
      return vision::BadInput(which + " is of joint " + revision.joint + ", its record of joint " +
                              record.value().joint + ".");
    for (const auto* file : record.value().Files()) {
      const auto at = manifest.files.find("files/" + file->sha256);
      if (at == manifest.files.end() || at->second.bytes != file->bytes)
        return vision::BadInput(which + " names the file " + file->name + ", which the bundle lacks.");
    }
    records.push_back(std::move(record).value());
  }
  return records;
}

/// No file that no revision names.
vision::Status CheckNoStray(const std::vector<Record>& records, const std::string& name, const Manifest& manifest) {
  std::set<std::string> named;
  for (const auto& record : records)
    for (const auto* file : record.Files()) named.insert("files/" + file->sha256);
  for (const auto& [entry, listed] : manifest.files)
    if (entry.starts_with("files/") && !named.contains(entry))
      return vision::BadInput(name + ": no revision names " + vision::Printable(entry) + ".");
  return std::nullopt;
}

vision::Status TakeKeys(Book& book, const JointHistory& history, bool trust) {
  for (const auto& [fingerprint, key] : history.keys) {
    auto known = FindKey(book, fingerprint);
    if (!known.ok()) return known.error();
    if (known.value() && known.value()->name != key.name)
      return vision::BadInput("The key " + fingerprint + " is " + key.name + "'s in the bundle and " +
                              known.value()->name + "'s in this book.");
    if (known.value()) continue;
    if (!trust)
      return vision::BadInput("The bundle is signed with a key this book does not know: " + fingerprint +
                              ", said to be " + key.name +
                              "'s. Compare it with the person's own and register it, or trust the bundle's keys.");
    if (auto failed = PutKey(book, key)) return failed;
  }
  return std::nullopt;
}

vision::Status TakeRevisions(Book& book, const JointHistory& history) {
  for (const auto& revision : history.revisions)
    if (auto failed = book.PutRevision(revision)) return failed;
  for (const auto& signoff : history.signoffs)
    if (auto failed = PutSignOff(book, signoff)) return failed;
  for (const auto& stamp : history.times)
    if (auto failed = PutTimeStamp(book, stamp)) return failed;
  return std::nullopt;
}

vision::Status Take(Book& book, const JointHistory& history, const std::vector<Record>& records, Arrivals& arrivals,
                    const ImportOptions& options) {
  auto transaction = Transaction::Begin(book.database(), TransactionKind::kWrite);
  if (!transaction.ok()) return transaction.error();
  const std::string joint = history.revisions.front().joint;
  auto there = book.database().Run("SELECT id FROM joint WHERE id = ?", {joint});
  if (!there.ok()) return there.error();
  if (!there.value().empty())
    return vision::BadInput("The book has a joint " + joint + " already; a bundle never overwrites one.");
  if (auto failed =
          book.database().Do("INSERT INTO joint VALUES (?, 0, '', '', '', '', '', '', '', '', 0, '')", {joint}))
    return failed;
  if (auto failed = TakeKeys(book, history, options.trust_keys)) return failed;
  if (auto failed = TakeRevisions(book, history)) return failed;
  for (const auto& record : records)
    if (auto failed = NoteFiles(book.database(), record)) return failed;
  if (auto failed = Project(book.database(), history.revisions.back(), records.back())) return failed;
  if (auto failed = SettleQueue(book.database(), records.back())) return failed;
  // From here the end of the journal is locked: nobody else can save a revision that needs what is placed now.
  if (auto failed = arrivals.Place()) return failed;
  for (const auto& record : records)
    if (auto wrong = CheckVerdicts(record, book.evidence())) return arrivals.TakeBack(), wrong;
  return transaction.value()->Commit();
}
}  // namespace

vision::Status ImportOptions::Check() const {
  if (most_text < 1 || most_bytes < 1)
    return vision::BadInput("ImportOptions::most_text and most_bytes must be 1 byte or more.");
  return std::nullopt;
}

vision::Result<ImportReport> ImportBundle(Book& book, const fs::path& file, const ImportOptions& options) {
  if (auto wrong = options.Check()) return *wrong;
  const std::string name = file.string();
  auto zip = ZipReader::Open(file);
  if (!zip.ok()) return zip.error();
  auto manifest = ReadManifest(zip.value(), name, options);
  if (!manifest.ok()) return manifest.error();
  if (manifest.value().summed)
    if (auto wrong = CheckWhole(file)) return *wrong;
  if (auto wrong = CheckListing(zip.value(), name, manifest.value(), options)) return *wrong;
  std::string history_text;
  for (const char* entry : {"record.json", "history.json"}) {
    auto text = zip.value().Read(entry, options.most_text);
    if (!text.ok()) return text.error();
    if (manifest.value().files[entry].sha256 != Sha256(text.value()))
      return vision::BadInput(name + ": " + entry + " is not what its SHA-256 says.");
    history_text = std::move(text).value();
  }
  auto history = HistoryFromJson(history_text, name);
  if (!history.ok()) return history.error();
  if (auto wrong = CheckHistory(history.value(), name)) return *wrong;
  auto records = CheckRecords(history.value(), name, manifest.value());
  if (!records.ok()) return records.error();
  if (auto wrong = CheckNoStray(records.value(), name, manifest.value())) return *wrong;
  Arrivals arrivals(book.evidence());
  if (auto failed = TakeFiles(zip.value(), name, manifest.value(), arrivals)) return *failed;
  if (auto failed = Take(book, history.value(), records.value(), arrivals, options)) return *failed;
  return ImportReport{history.value().revisions.front().joint,
                      static_cast<std::int64_t>(history.value().revisions.size()),
                      static_cast<std::int64_t>(history.value().signoffs.size()),
                      static_cast<std::int64_t>(manifest.value().files.size()) - 2, !manifest.value().summed};
}

}  // namespace app::book
