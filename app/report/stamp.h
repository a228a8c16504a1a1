#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "app/words/text.h"

/// What a joint book says about the record that is printed, and how a company wants its paper to look. Snapshots: the
/// report checks nothing of it.
namespace app::report {

struct StampSignature {
  std::string kind, name, role, signed_at;
  std::vector<std::pair<words::Text, words::Text>> facts;  ///< Qualification, vision test, procedure, …
  std::string statement;
  std::string fault;  ///< Why the signature does not hold; "" when it does. Printed large.
};

/// Such as the purge log.
struct StampTable {
  words::Text title;
  std::vector<words::Text> columns;
  std::vector<std::vector<words::Text>> rows;
};

struct StampPicture {
  std::filesystem::path file;
  words::Text caption;
};

struct RecordStamp {
  std::int64_t revision = 0;
  std::string cycle, hash, author, made_at, reason;
  std::string seal;   ///< The book's seal at the time of printing.
  std::string fault;  ///< Why the revision is not what was saved; "" when it is.
  std::vector<StampSignature> signatures;
  std::vector<StampTable> tables;
  std::vector<StampPicture> pictures;

  /// What the QR code holds.
  std::string CodeText(const std::string& joint) const;
};

/// A company's own paper (JSON `rootscroll.paper/1`, written by the company).
struct HousePaper {
  std::string company, header;
  std::filesystem::path logo;                              ///< Empty: none.
  std::vector<std::pair<std::string, std::string>> texts;  ///< Heading and text, after the disposition.
  std::vector<std::pair<std::string, std::string>>
      wording;           ///< Sentences and what stands instead; %1 to %9 stand for what differs (wording.h).
  std::string language;  ///< Of the wording that ships: "" (English) or one of Languages().
};

}  // namespace app::report
