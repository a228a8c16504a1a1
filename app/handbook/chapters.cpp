#include <QRegularExpression>
#include <algorithm>

#include "app/handbook/embedded.h"
#include "app/handbook/handbook.h"

namespace app::handbook {
namespace {

/// Reading order.
constexpr const char* kNames[] = {"safety", "terms",  "first_joint", "recording", "camera",   "reading", "repair",
                                  "book",   "moving", "criteria",    "accuracy",  "commands", "window",  "errors"};

QString Plain(const QString& line) {
  static const QRegularExpression marks(R"(\*\*|`|^#+\s*|^\s*[-*]\s+|^\s*\d+\.\s+|^\|\s*|\s*\|$)");
  QString plain = line.trimmed();
  plain.remove(marks);
  return plain.replace(QRegularExpression(R"(\s*\|\s*)"), " — ").trimmed();
}

/// Without case and accents, as a search compares.
QString Folded(const QString& text) {
  QString folded;
  for (const QChar letter : text.normalized(QString::NormalizationForm_D))
    if (letter.category() != QChar::Mark_NonSpacing) folded += letter.toLower();
  return folded;
}

bool HoldsAll(const QString& text, const QStringList& words) {
  const QString folded = Folded(text);
  for (const QString& word : words)
    if (!folded.contains(word)) return false;
  return true;
}

/// Paragraphs of a chapter; a row of a table and a line of code each stand alone.
QStringList ParagraphsOf(const QString& markdown) {
  QStringList found;
  bool open = false, code = false;
  for (const QString& line : markdown.split('\n')) {
    if (line.startsWith("```")) {
      code = !code, open = false;
    } else if (line.trimmed().isEmpty() || line.startsWith("|---") || line.startsWith("![")) {
      open = false;
    } else if (open && !code && !line.startsWith('|') && !line.startsWith('#') && !line.startsWith("- ")) {
      found.back() += ' ' + line.trimmed();
    } else {
      found << line;
      open = !line.startsWith('#') && !line.startsWith('|');
    }
  }
  return found;
}

}  // namespace

std::vector<Chapter> Chapters(const QString& language) {
  const std::string folder = language == "es" ? "es" : "en";
  std::vector<Chapter> chapters;
  for (const char* name : kNames) {
    const std::string path = folder + "/" + name + ".md";
    const auto& files = EmbeddedFiles();
    const auto file = std::find_if(files.begin(), files.end(), [&](const EmbeddedFile& f) { return f.name == path; });
    if (file == files.end()) continue;
    Chapter chapter{name, {}, QString::fromStdString(file->text)};
    chapter.title = Plain(chapter.markdown.section('\n', 0, 0));
    chapters.push_back(std::move(chapter));
  }
  return chapters;
}

std::vector<Hit> Find(const std::vector<Chapter>& chapters, const QString& wanted) {
  const QStringList words = Folded(wanted).split(' ', Qt::SkipEmptyParts);
  std::vector<Hit> headings, others;
  if (words.isEmpty()) return {};
  for (std::size_t i = 0; i < chapters.size(); ++i) {
    QString heading = chapters[i].title;
    for (const QString& paragraph : ParagraphsOf(chapters[i].markdown)) {
      const bool is_heading = paragraph.startsWith('#');
      if (is_heading) heading = Plain(paragraph);
      if (HoldsAll(Plain(paragraph), words))
        (is_heading ? headings : others).push_back({static_cast<int>(i), heading, Plain(paragraph)});
    }
  }
  headings.insert(headings.end(), others.begin(), others.end());
  return headings;
}

}  // namespace app::handbook
