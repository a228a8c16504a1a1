#include <unistd.h>

#include "app/book/bundle.h"
#include "app/book/bundle_parts.h"
#include "app/book/digest.h"
#include "app/book/projection.h"
#include "app/book/zip.h"

namespace app::book {

namespace {
namespace fs = std::filesystem;

struct Listed {
  std::string sha256;
  std::int64_t bytes = 0;
};

vision::Result<std::map<std::string, Listed>> ReadManifest(const ZipReader& zip, const std::string& name) {
  auto text = zip.Read("manifest.json");
  if (!text.ok()) return text.error();
  const auto json = nlohmann::json::parse(text.value(), nullptr, false);
  try {
    if (json.at("format") != kBundleFormat)
      return vision::BadInput(name + ": manifest.json must have the format " + kBundleFormat + ".");
    std::map<std::string, Listed> files;
    for (const auto& file : json.at("files"))
      files[file.at("name")] = {file.at("sha256").get<std::string>(), file.at("bytes").get<std::int64_t>()};
    return files;
  } catch (const nlohmann::json::exception& wrong) {
    return vision::BadInput(name + ": manifest.json cannot be read (" + wrong.what() + ").");
  }
}

/// Copies every file of the bundle into the evidence store. @return How many.
vision::Result<std::int64_t> TakeFiles(const Book& book, const ZipReader& zip, const std::string& name,
                                       const std::map<std::string, Listed>& files) {
  const fs::path temporary = fs::temp_directory_path() / ("rootscroll_import_" + std::to_string(::getpid()));
  std::int64_t count = 0;
  for (const auto& [entry, listed] : files) {
    if (!entry.starts_with("files/")) continue;
    if (auto failed = zip.Extract(entry, temporary, static_cast<std::size_t>(listed.bytes))) return *failed;
    auto ref = book.evidence().Copy(temporary);
    std::error_code ignored;
    fs::remove(temporary, ignored);
    if (!ref.ok()) return ref.error();
    if (ref.value().sha256 != listed.sha256 || entry != "files/" + listed.sha256)
      return vision::BadInput(name + ": " + entry + " is not what its SHA-256 says.");
    ++count;
  }
  return count;
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
    if (auto failed = book.database().Do("INSERT INTO inspector_key VALUES (?, ?, ?, ?, ?)",
                                         {fingerprint, key.name, key.public_hex, key.added_by, key.added_at}))
      return failed;
    if (auto failed = book.AddToJournal("key", key.ComputeHash())) return failed;
  }
  return std::nullopt;
}

vision::Status TakeRevisions(Book& book, const JointHistory& history) {
  Database& database = book.database();
  for (const auto& revision : history.revisions) {
    if (auto failed = database.Do("INSERT INTO revision VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
                                  {revision.joint, revision.number, revision.author, revision.login, revision.made_at,
                                   revision.reason, revision.parent, revision.hash, revision.body}))
      return failed;
    if (auto failed = book.AddToJournal("revision", revision.hash)) return failed;
  }
  for (const auto& signoff : history.signoffs) {
    const auto& statement = signoff.statement;
    if (auto failed = database.Do("INSERT INTO signoff VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
                                  {signoff.hash, statement.joint, statement.revision, statement.kind, signoff.text,
                                   signoff.signature, signoff.fingerprint, signoff.login}))
      return failed;
    if (auto failed = book.AddToJournal("signoff", signoff.hash)) return failed;
  }
  return std::nullopt;
}

/// The tables of the newest revision; what has a reading is not measured again.
vision::Status TakeTables(Book& book, const Revision& newest) {
  auto record = FromJson(newest.body, "Joint " + newest.joint);
  if (!record.ok()) return record.error();
  if (auto wrong = record.value().Check()) return wrong;
  for (const auto* file : record.value().Files())
    if (!book.evidence().Holds(*file) && file->held == "copied")
      return vision::BadInput("The bundle of joint " + newest.joint + " lacks the file " + file->name + ".");
  if (auto failed = Project(book.database(), newest, record.value())) return failed;
  for (const auto& cycle : record.value().cycles)
    for (const auto& reading : cycle.readings)
      for (const auto& id : reading.recordings)
        if (auto failed = book.database().Do(
                "UPDATE recording SET state = 'measured', reading = ? WHERE joint = ? AND cycle = ? AND id = ?",
                {reading.reading.sha256, newest.joint, cycle.id, id}))
          return failed;
  return std::nullopt;
}

vision::Status Take(Book& book, const JointHistory& history, const ImportOptions& options) {
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
  if (auto failed = TakeTables(book, history.revisions.back())) return failed;
  return transaction.value()->Commit();
}
}  // namespace

vision::Result<ImportReport> ImportBundle(Book& book, const fs::path& file, const ImportOptions& options) {
  const std::string name = file.string();
  auto zip = ZipReader::Open(file);
  if (!zip.ok()) return zip.error();
  auto files = ReadManifest(zip.value(), name);
  if (!files.ok()) return files.error();
  auto text = zip.value().Read("history.json");
  if (!text.ok()) return text.error();
  if (files.value()["history.json"].sha256 != Sha256(text.value()))
    return vision::BadInput(name + ": history.json is not what its SHA-256 says.");
  auto history = HistoryFromJson(text.value(), name);
  if (!history.ok()) return history.error();
  if (auto wrong = CheckHistory(history.value(), name)) return *wrong;
  auto count = TakeFiles(book, zip.value(), name, files.value());
  if (!count.ok()) return count.error();
  if (auto failed = Take(book, history.value(), options)) return *failed;
  return ImportReport{history.value().revisions.front().joint,
                      static_cast<std::int64_t>(history.value().revisions.size()),
                      static_cast<std::int64_t>(history.value().signoffs.size()), count.value()};
}

}  // namespace app::book
