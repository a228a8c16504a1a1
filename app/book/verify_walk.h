#pragma once

#include <algorithm>
#include <map>
#include <set>

#include "app/book/signoff.h"
#include "app/book/time_stamp.h"
#include "app/book/verify.h"

/// The walk of Verify over a book; each part adds its faults. Of no use to others.
namespace app::book {

class Walk {
 public:
  Walk(Book& book, const VerifyOptions& options, const vision::JobContext& job)
      : book_(book), options_(options), job_(job) {}

  vision::Result<VerifyReport> Run();

 private:
  using Place = std::pair<std::string, std::string>;  ///< Cycle and recording.

  /// What the revisions of one joint name, all together.
  struct Told {
    std::map<std::string, std::set<std::string>> files;  ///< Names by SHA-256.
    std::set<Place> recordings;
    std::map<Place, std::string> measured;  ///< By the newest revision.
    std::set<std::string> newest_files;
    std::set<Place> newest_recordings;
  };

  vision::Status Revisions();
  void CheckRevision(const Revision& revision);
  vision::Status Tables();
  vision::Status CheckTables(const std::string& joint, std::int64_t head);
  vision::Status CheckEvidenceTable(const std::string& joint, const Told& told);
  void CheckNewest(const Revision& revision, const Record& record);
  vision::Status Queue();
  vision::Status Keys();
  vision::Status SignedOff();
  void CheckSignOff(const SignOff& signoff);
  vision::Status Times();
  void CheckTime(const TimeStamp& stamp);
  vision::Status Journal();
  void CheckSeals(const std::map<std::int64_t, std::string>& seals);
  vision::Status Files();
  void CheckFile(const FileRef& file, const std::string& named_in);
  void Add(const std::string& what, const std::string& text) { report_.faults.push_back({what, text}); }
  void Remark(const std::string& what, const std::string& text) { report_.remarks.push_back({what, text}); }
  vision::Result<Rows> Ask(const std::string& sql, const std::vector<Value>& values = {}) {
    return book_.database().Run(sql, values);
  }

  Book& book_;
  const VerifyOptions& options_;
  const vision::JobContext& job_;
  VerifyReport report_;
  std::set<std::string> items_;                                   ///< Hashes that the journal must hold.
  std::map<std::string, std::pair<FileRef, std::string>> files_;  ///< By all that tells; where it is named first.
  std::map<std::pair<std::string, std::int64_t>, std::string> hashes_;
  std::map<std::string, Told> told_;  ///< By joint.
  std::map<std::string, KnownKey> keys_;
  std::vector<Revocation> revocations_;
  std::vector<SignOff> signoffs_;
  std::string joint_, parent_;
  std::int64_t number_ = 0;
};

}  // namespace app::book
