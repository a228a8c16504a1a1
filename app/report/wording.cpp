#include "app/report/wording.h"

#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/report/report.h"
#include "app/report/wording_text.h"  // generated from wording_es.json
#include "vision/base/says.h"

namespace app::report {

namespace {
thread_local const Wording* in_use = nullptr;

bool HasWords(const QString& text) {
  static const QRegularExpression word("[A-Za-z]{3,}|\\b(to|of|at|by)\\b");
  return word.match(text).hasMatch();
}

bool HasProse(const QString& text) {
  static const QRegularExpression word("[A-Za-z]{3,}");
  return word.match(text).hasMatch();
}

qsizetype Letters(const QStringList& texts) { return texts.join(QString()).size(); }

class Reworder {
 public:
  Reworder(const Wording& wording, QStringList& misses) : wording_(wording), misses_(misses) {}

  void operator()(Heading& heading) const { Change(heading.text); }
  void operator()(Paragraph& paragraph) const {
    static const QRegularExpression mark("^(▪ |□ \\d+  )");
    const QString listed = mark.match(paragraph.text).captured(1);
    QString text = paragraph.text.mid(listed.size());
    if (!paragraph.says.empty())
      text = wording_(paragraph.says, &misses_);
    else if (!paragraph.verbatim)
      Change(text);
    paragraph.text = listed + text;
  }
  void operator()(Notice& notice) const {
    Change(notice.title);
    Change(notice.text);
  }
  void operator()(Table& table) const {
    for (auto& column : table.columns) Change(column.title);
    for (auto& row : table.rows)
      for (auto& cell : row)
        if (!cell.says.empty())
          cell.text = wording_(cell.says, &misses_);
        else if (!cell.verbatim)
          Change(cell.text);
  }
  void operator()(Figure& figure) const {
    Change(figure.title);
    Change(figure.text);
  }
  void operator()(Signatures& signatures) const {
    for (QString& role : signatures.roles) Change(role);
  }
  void operator()(PageBreak&) const {}
  void Change(QString& text) const { text = wording_(text, &misses_); }

 private:
  const Wording& wording_;
  QStringList& misses_;
};
}  // namespace

const std::vector<std::string>& Languages() {
  static const std::vector<std::string> names{"es"};
  return names;
}

Wording Wording::In(const std::string& language) {
  HousePaper paper;
  paper.language = language;
  return Of(paper);
}

Wording Wording::Of(const HousePaper& paper) {
  Wording wording;
  if (!paper.language.empty()) wording.language_ = QString::fromStdString(paper.language);
  if (paper.language == "es") {
    const auto shipped = nlohmann::json::parse(kWordingEs);
    for (const auto& [from, to] : shipped.items())
      wording.Add(QString::fromStdString(from), QString::fromStdString(to.get<std::string>()));
  }
  for (const auto& [from, to] : paper.wording) wording.Add(QString::fromStdString(from), QString::fromStdString(to));
  std::stable_sort(wording.patterns_.begin(), wording.patterns_.end(), [](const Pattern& a, const Pattern& b) {
    return a.from.pattern().size() > b.from.pattern().size();  // the one that says most first
  });
  return wording;
}

void Wording::Add(const QString& from, const QString& to) {
  sentences_[from] = to;
  static const QRegularExpression place("%([1-9])");
  if (!from.contains(place)) {
    exact_[from] = to;
    return;
  }
  if (vision::HasCode(from.toStdString())) return;  // found by its code
  Pattern pattern;
  pattern.head = from.left(from.indexOf(place));
  QString expression = "^";
  qsizetype at = 0;
  for (auto found = place.globalMatch(from); found.hasNext();) {
    const auto match = found.next();
    expression += QRegularExpression::escape(from.mid(at, match.capturedStart() - at)) + "(.+?)";
    pattern.order << match.captured(1).toInt();
    at = match.capturedEnd();
  }
  pattern.from = QRegularExpression(expression + QRegularExpression::escape(from.mid(at)) + "$",
                                    QRegularExpression::DotMatchesEverythingOption);
  pattern.to = to;
  static const QRegularExpression letters("[A-Za-z]");
  pattern.bare = QString(from).remove(place).count(letters) < 3;
  patterns_.push_back(pattern);
}

bool Wording::Fits(const Pattern& pattern, const QString& text, QString& out, QStringList& misses) const {
  if (!text.startsWith(pattern.head)) return false;
  const auto match = pattern.from.match(text);
  if (!match.hasMatch()) return false;
  QStringList parts(10);
  for (qsizetype i = 0; i < pattern.order.size(); ++i) {
    const QString part = match.captured(static_cast<int>(i) + 1);
    if (pattern.bare && HasProse(part)) return false;
    parts[pattern.order[i]] = Best(part, misses);
  }
  out.clear();
  for (qsizetype i = 0; i < pattern.to.size(); ++i) {
    const bool place = pattern.to[i] == '%' && i + 1 < pattern.to.size() && pattern.to[i + 1].isDigit();
    out += place ? parts[pattern.to[++i].digitValue()] : QString(pattern.to[i]);
  }
  return true;
}

/// The way that leaves least in English: the whole, then a sentence with places, then in two where it may be parted.
QString Wording::Best(const QString& text, QStringList& misses) const {
  if (names_.contains(text)) return text;
  if (const auto known = exact_.constFind(text); known != exact_.constEnd()) return *known;
  if (!HasWords(text)) return text;
  if (text.endsWith('.'))
    if (const auto known = exact_.constFind(text.chopped(1)); known != exact_.constEnd()) return *known + ".";
  QString best = text, out;
  QStringList fewest{text};
  const auto take = [&](const QStringList& left) {
    if (Letters(left) < Letters(fewest)) best = out, fewest = left;
    return fewest.isEmpty();
  };
  for (const auto& pattern : patterns_)
    if (QStringList left; Fits(pattern, text, out, left) && take(left)) return best;
  for (const QString between : {"\n", " · ", ". ", "; ", ": ", ", "}) {
    const auto at = text.indexOf(between);
    if (at <= 0 || at + between.size() >= text.size()) continue;
    const QString stop = between == ". " ? "." : "";  // a sentence keeps its full stop
    QStringList left;
    out = Best(text.left(at) + stop, left);
    if (between == ", " && !left.isEmpty()) continue;  // a comma parts a list, not a sentence
    out += between.mid(stop.size()) + Best(text.mid(at + between.size()), left);
    if (take(left)) return best;
    if (between != ": " && between != ", ") break;
  }
  misses += fewest;
  return best;
}

QString Wording::operator()(const QString& text, QStringList* misses) const {
  if (empty()) return text;
  QStringList left;
  const QString out = Best(text, left);
  if (!left.isEmpty())  // as a file has it, its code gone
    if (const auto coded = vision::SentenceFrom(text.toStdString()); coded.code != vision::Says::kAsSaid)
      return (*this)(coded, misses);
  if (misses) *misses += left;
  return out;
}

QString Wording::InWords(const vision::Argument& argument, QStringList* misses) const {
  if (!argument.sentence.empty()) return (*this)(argument.sentence, misses);
  const QString text = QString::fromStdString(argument.text);
  return names_.contains(text) ? text : exact_.value(text, text);
}

QString Wording::operator()(const vision::Sentence& sentence, QStringList* misses) const {
  const QString english = QString::fromStdString(vision::EnglishOf(sentence));
  if (empty() || sentence.empty()) return english;
  if (sentence.code == vision::Says::kAsSaid) return (*this)(english, misses);
  const std::string_view words = vision::WordsOf(sentence.code);
  const auto said = sentences_.constFind(QString::fromUtf8(words.data(), static_cast<qsizetype>(words.size())));
  if (said == sentences_.constEnd()) {
    if (misses) *misses << english;
    return english;
  }
  std::vector<std::string> args;
  for (const vision::Argument& argument : sentence.args) args.push_back(InWords(argument, misses).toStdString());
  return QString::fromStdString(vision::FilledIn(said->toStdString(), args));
}

QStringList Reword(const Wording& wording, Content& content) {
  QStringList misses;
  if (wording.empty()) return misses;
  const Reworder reworder(wording, misses);
  content.language = wording.language();
  reworder.Change(content.title);
  reworder.Change(content.running_text);
  reworder.Change(content.joint_word);
  reworder.Change(content.edition);
  content.page_words = wording(content.page_words, &misses);
  for (Block& block : content.blocks) std::visit(reworder, block);
  misses.removeDuplicates();
  return misses;
}

WordsInUse::WordsInUse(const Wording& wording) : before_(in_use) { in_use = &wording; }
WordsInUse::~WordsInUse() { in_use = before_; }

QString Said(const QString& text) { return in_use ? (*in_use)(text) : text; }

}  // namespace app::report
