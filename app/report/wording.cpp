#include "app/report/wording.h"

#include <algorithm>
#include <cctype>
#include <nlohmann/json.hpp>

#include "app/report/report.h"
#include "app/report/wording_text.h"  // generated from wording_es.json

namespace app::report {

namespace {
bool HasWords(std::string_view text) {
  return std::count_if(text.begin(), text.end(), [](unsigned char c) { return std::isalpha(c); }) > 3;
}
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
  if (paper.language == "es") wording.said_ = nlohmann::json::parse(kWordingEs).get<decltype(said_)>();
  for (const auto& [english, words] : paper.wording) {
    wording.said_[english] = words;
    if (words::IsPrint(english) || vision::HasCode(english)) continue;
    wording.whole_ = true;
    if (english.find("%1") != std::string::npos) wording.unsaid_ << QString::fromStdString(english);
  }
  return wording;
}

void Wording::Keep(const QStringList& names) {
  for (const QString& name : names) names_.insert(name.toStdString());
}

QString Wording::operator()(const Text& text, QStringList* misses) const {
  return QString::fromStdString(said_.empty() ? words::EnglishOf(text) : InWords(text, misses));
}

std::string Wording::InWords(const Text& text, QStringList* misses) const {
  if (text.of != Text::Of::kCode) return Whole(text, misses);
  if (whole_)
    if (const auto said = said_.find(words::EnglishOf(text)); said != said_.end()) return said->second;
  std::vector<std::string> args;
  for (const Text& arg : text.args) args.push_back(InWords(arg, misses));
  const auto said = said_.find(text.words);
  if (said != said_.end()) return vision::FilledIn(said->second, args);
  if (misses && HasWords(text.words))
    *misses << QString::fromUtf8(text.words.data(), static_cast<qsizetype>(text.words.size()));
  return vision::FilledIn(text.words, args);
}

std::string Wording::Whole(const Text& text, QStringList* misses) const {
  if (text.of == Text::Of::kTyped || names_.contains(text.as_is)) return text.as_is;
  if (const auto said = said_.find(text.as_is); said != said_.end()) return said->second;
  if (misses && text.of == Text::Of::kTerm && HasWords(text.as_is)) *misses << QString::fromStdString(text.as_is);
  return text.as_is;
}

}  // namespace app::report
