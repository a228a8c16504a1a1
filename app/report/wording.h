#pragma once

#include <QHash>
#include <QRegularExpression>
#include <QSet>
#include <QString>
#include <QStringList>
#include <memory>
#include <vector>

#include "app/report/content.h"
#include "app/report/stamp.h"
#include "vision/base/result.h"
#include "vision/base/sentence.h"

/// The record in other words: a second language that ships, or a company's own. English is what the program says; a
/// wording gives another text for each sentence. `%1` to `%9` in a sentence stand for what differs from record to
/// record. Numbers, names and what people typed stay as they are.
namespace app::report {

class Wording {
 public:
  /// The language that ships under `paper.language`, then the company's own words over it.
  static Wording Of(const HousePaper& paper);
  /// A language that ships, without a company's words.
  static Wording In(const std::string& language);

  const QString& language() const { return language_; }  ///< ISO 639-1; "en" where none was asked for.
  bool empty() const { return exact_.isEmpty() && patterns_.empty(); }
  /// These stay as they are, and are no misses.
  void Keep(const QStringList& names) { names_ += QSet<QString>(names.begin(), names.end()); }
  /// The text in other words; line by line, part by part and sentence by sentence where the whole is not known. What
  /// has no other words stays and is added to `misses`.
  QString operator()(const QString& text, QStringList* misses = nullptr) const;
  /// By its code alone; what stands in it stays as it is, but for sentences and words that have others.
  QString operator()(const vision::Sentence& sentence, QStringList* misses = nullptr) const;

 private:
  struct Pattern {
    QString head;  ///< Fixed beginning.
    QRegularExpression from;
    QList<int> order;  ///< Number of each capture.
    QString to;
    bool bare = false;  ///< So short that it holds for numbers only: "%1 to %2".
  };
  QString InWords(const vision::Argument& argument, QStringList* misses) const;
  void Add(const QString& from, const QString& to);
  bool Fits(const Pattern& pattern, const QString& text, QString& out, QStringList& misses) const;
  QString Best(const QString& text, QStringList& misses) const;

  QString language_ = "en";
  QSet<QString> names_;
  QHash<QString, QString> exact_;
  QHash<QString, QString> sentences_;  ///< Every sentence, with its places.
  std::vector<Pattern> patterns_;
};

/// Puts `wording` over all of the content that is not verbatim. @return What stayed in English.
QStringList Reword(const Wording& wording, Content& content);

/// While it lives, the texts that figures draw come out in these words (Said).
class WordsInUse {
 public:
  explicit WordsInUse(const Wording& wording);
  ~WordsInUse();
  WordsInUse(const WordsInUse&) = delete;
  WordsInUse& operator=(const WordsInUse&) = delete;

 private:
  const Wording* before_;
};
/// A text of a figure in the words in use.
QString Said(const QString& text);

}  // namespace app::report
