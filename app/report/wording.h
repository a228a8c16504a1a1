#pragma once

#include <QString>
#include <QStringList>
#include <functional>
#include <map>
#include <set>
#include <string>

#include "app/report/content.h"
#include "app/report/stamp.h"

/// The record in other words: a second language that ships, or a company's own. English is what the program says; a
/// wording has other words for each code and term. `%1` to `%9` stand for what differs from record to record. Numbers,
/// names and what people typed stay as they are.
namespace app::report {

class Wording {
 public:
  /// The language that ships under `paper.language`, then the company's own words over it.
  static Wording Of(const HousePaper& paper);
  /// A language that ships, without a company's words.
  static Wording In(const std::string& language);

  const QString& language() const { return language_; }  ///< ISO 639-1; "en" where none was asked for.
  /// What a company has words for and nothing says: it has places and is no code's.
  const QStringList& unsaid() const { return unsaid_; }
  /// In sentences of a reading these stay as they are.
  void Keep(const QStringList& names);
  /// In these words. The words of codes and terms that have no others stay, and are added to `misses`.
  QString operator()(const Text& text, QStringList* misses = nullptr) const;

 private:
  std::string InWords(const Text& text, QStringList* misses) const;
  std::string Whole(const Text& text, QStringList* misses) const;

  QString language_ = "en";
  std::set<std::string, std::less<>> names_;
  std::map<std::string, std::string, std::less<>> said_;  ///< By the English words of a code, or a term.
  QStringList unsaid_;
  bool whole_ = false;  ///< A company has words for something that is no code: a finished English text.
};

}  // namespace app::report
