#include <gtest/gtest.h>

#include <QHash>
#include <QRegularExpression>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "app/handbook/handbook.h"

namespace handbook_test {
namespace {

namespace fs = std::filesystem;

/// The words of each code (vision/base/every_sentence.h).
QHash<QString, QString> WordsOfCodes() {
  static const QRegularExpression code(R"x(SAYS\((k\w+),((?:\s*"(?:[^"\\]|\\.)*")+)\))x"), seam(R"x("\s*")x");
  std::ifstream in(fs::path(ROOTSCROLL_SOURCE_DIR) / "vision" / "base" / "every_sentence.h");
  const std::string source{std::istreambuf_iterator<char>(in), {}};
  QHash<QString, QString> words;
  for (auto match = code.globalMatch(QString::fromStdString(source)); match.hasNext();) {
    const auto one = match.next();
    words[one.captured(1)] = one.captured(2).trimmed().remove(seam).remove('"');
  }
  return words;
}

/// The arguments of BadInput(...) and NotFound(...) in a source text, literals put together and all else a gap.
std::vector<QString> SentencesIn(const QString& source) {
  static const QRegularExpression call(R"(\b(?:BadInput|NotFound)\()"), coded(R"(^(?:vision::)?Says::(k\w+))");
  static const QHash<QString, QString> words = WordsOfCodes();
  static const QRegularExpression literal(R"x("((?:[^"\\]|\\.)*)"|([^"]+))x");
  std::vector<QString> sentences;
  for (auto match = call.globalMatch(source); match.hasNext();) {
    const qsizetype from = match.next().capturedEnd();
    qsizetype at = from;
    bool quoted = false;
    for (int depth = 1; depth > 0 && at < source.size(); ++at) {
      const QChar c = source[at];
      if (quoted && c == '\\') ++at;
      if (c == '"') quoted = !quoted;
      if (!quoted) depth += (c == '(') - (c == ')');
    }
    if (const auto code = coded.match(source.mid(from, 80)); code.hasMatch()) {
      sentences.push_back(words.value(code.captured(1)));
      continue;
    }
    QString sentence;
    for (auto part = literal.globalMatch(source.mid(from, at - 1 - from)); part.hasNext();) {
      const auto one = part.next();
      sentence += one.captured(2).contains(QRegularExpression(R"(\w)")) ? QString("\n") : one.captured(1);
    }
    sentences.push_back(sentence);
  }
  return sentences;
}

/// What stands in backticks in the first column of the chapter's tables.
QStringList PartsIn(const QString& markdown) {
  static const QRegularExpression part(R"(`` (.*?) ``|`([^`]+)`)");
  QStringList parts;
  for (const QString& row : markdown.split('\n')) {
    if (!row.startsWith("| `")) continue;
    const QString first = row.mid(1, row.lastIndexOf('|', row.size() - 2) - 1);
    for (auto match = part.globalMatch(first); match.hasNext();) {
      const auto one = match.next();
      parts << (one.captured(1).isEmpty() ? one.captured(2) : one.captured(1)).trimmed();
    }
  }
  return parts;
}

QString ErrorsChapter(const char* language) {
  for (const auto& chapter : app::handbook::Chapters(language))
    if (chapter.name == "errors") return chapter.markdown;
  return {};
}

/// A sentence with fewer letters of its own than these comes from elsewhere as a whole, and is met there.
constexpr int kOwnLetters = 8;

TEST(Errors, EverySentenceOfTheSourcesHasARowWithItsCure) {
  const QStringList parts = PartsIn(ErrorsChapter("en"));
  ASSERT_GT(parts.size(), 100);
  int sentences = 0;
  for (const char* room : {"app", "vision"})
    for (const auto& entry : fs::recursive_directory_iterator(fs::path(ROOTSCROLL_SOURCE_DIR) / room)) {
      if (entry.path().extension() != ".cpp" && entry.path().extension() != ".h") continue;
      std::ifstream in(entry.path());
      const std::string source{std::istreambuf_iterator<char>(in), {}};
      for (const QString& sentence : SentencesIn(QString::fromStdString(source))) {
        if (QString(sentence).remove(QRegularExpression(R"([\s.:;,]+)")).size() < kOwnLetters) continue;
        ++sentences;
        const bool met =
            std::any_of(parts.begin(), parts.end(), [&](const QString& p) { return sentence.contains(p); });
        EXPECT_TRUE(met) << entry.path() << ": " << sentence.toStdString();
      }
    }
  EXPECT_GT(sentences, 400);
}

TEST(Errors, TheSpanishChapterKnowsTheSameSentences) {
  EXPECT_EQ(PartsIn(ErrorsChapter("es")).join("\n").toStdString(),
            PartsIn(ErrorsChapter("en")).join("\n").toStdString());
}

}  // namespace
}  // namespace handbook_test
