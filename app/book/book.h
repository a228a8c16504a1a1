#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/book/database.h"
#include "app/book/evidence.h"
#include "app/book/revision.h"

/// The joint book: joints, their revisions and the evidence they stand on. Nothing in it is overwritten. One Book is
/// one connection, used by one thread.
namespace app::book {

struct NewBookOptions {
  /// Where evidence is kept: the folder beside a SQLite book when empty; must be given for a PostgreSQL book (a folder
  /// all its machines see).
  std::string evidence_folder;
};

struct OpenOptions {
  bool read_only = false;       ///< A SQLite book is opened without the right to write.
  std::string evidence_folder;  ///< Instead of the one the book names.
};

struct SaveRequest {
  Record record;
  std::int64_t based_on = 0;  ///< The revision the person saw; 0 for a new joint.
  std::string author, reason;
  /// Runs inside the same transaction, after the revision is in; false: nothing is saved (no error).
  std::function<vision::Result<bool>(Database&)> also;
};

/// One of the two, or neither where `also` said no.
struct SaveOutcome {
  std::optional<Revision> saved;
  std::optional<Conflict> conflict;
};

/// The database gave back something else than it was given: nothing may be saved.
vision::Error NotAsGiven(const std::string& what);

class Book {
 public:
  /// Makes an empty book. @return kBadInput when there is one already.
  static vision::Result<std::unique_ptr<Book>> Create(const std::string& address, const NewBookOptions& options = {});

  /// Opens a book, taking missing steps of its schema.
  static vision::Result<std::unique_ptr<Book>> Open(const std::string& address, const OpenOptions& options = {});

  const EvidenceStore& evidence() const { return evidence_; }
  Database& database() { return *database_; }

  /// Adds a revision when the joint is still at `based_on`; what is returned as saved is on the disk.
  /// Locks are held for the length of this call only.
  /// @return kBadInput for a record that cannot stand in a book, a file that the evidence store does not hold, a new
  ///   reference to what is not there as it is told, a new verdict that its file does not bear out (judged.h), a blank
  ///   or unfit author or reason.
  vision::Result<SaveOutcome> Save(const SaveRequest& request);

  /// @param number 0: the newest. @return kNotFound with a sentence, also for a number below 0.
  vision::Result<Revision> Load(const std::string& joint, std::int64_t number = 0);
  vision::Result<Record> LoadRecord(const std::string& joint, std::int64_t number = 0);

  /// All revisions of a joint, oldest first, without their bodies.
  vision::Result<std::vector<Revision>> History(const std::string& joint);

  /// The newest line of the journal: noted outside the book, it proves later that nothing before it was changed or
  /// taken out. seq 0 for an empty book.
  vision::Result<JournalLine> Seal();

  /// Adds a line to the journal; inside a transaction. Its end stays locked until the transaction ends.
  vision::Status AddToJournal(const std::string& kind, const std::string& item);

  /// Adds a revision as it is, reads it back, compares, and adds it to the journal; inside a transaction.
  vision::Status PutRevision(const Revision& revision);

 private:
  Book(std::unique_ptr<Database> database, std::filesystem::path evidence)
      : database_(std::move(database)), evidence_(std::move(evidence)) {}
  vision::Result<std::int64_t> LockHead(const std::string& joint);
  vision::Result<Conflict> MakeConflict(const SaveRequest& request);
  vision::Status CheckNew(const SaveRequest& request);

  std::unique_ptr<Database> database_;
  EvidenceStore evidence_;
};

}  // namespace app::book
