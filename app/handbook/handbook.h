#pragma once

#include <QImage>
#include <QString>
#include <QTextDocument>
#include <filesystem>
#include <memory>
#include <vector>

#include "vision/base/result.h"

/// The handbook for people, built in: Markdown of `en` and `es`, for the window, as one PDF and as one HTML file.
/// Everything here needs a QGuiApplication.
namespace app::handbook {

struct Chapter {
  QString name;      ///< The same in all languages: "safety", "terms", ...
  QString title;     ///< The first heading.
  QString markdown;  ///< As written; pictures are named `sketch:NAME`.
};

/// In reading order. @param language "en" or "es"; any other reads English.
std::vector<Chapter> Chapters(const QString& language);

struct Hit {
  int chapter = 0;  ///< Index into the chapters.
  QString heading;  ///< The nearest heading above.
  QString text;     ///< The paragraph or table row, without its marks.
};

/// Paragraphs and rows that hold every word of `wanted`, whatever the case and the accents; headings' own hits first.
std::vector<Hit> Find(const std::vector<Chapter>& chapters, const QString& wanted);

/// A chapter as the window shows it, its sketches with it.
std::unique_ptr<QTextDocument> DocumentOf(const Chapter& chapter, const QString& language);

/// A sketch of the handbook, words in the language. Null for a name that is none.
QImage Sketch(const QString& name, const QString& language);

/// Writes the whole handbook as one file. @param file Its name ends in .pdf or .html.
/// @return kBadInput for another ending, kIo where it cannot be written.
vision::Status WriteHandbook(const std::filesystem::path& file, const QString& language);

}  // namespace app::handbook
