#include <QBuffer>
#include <QPdfWriter>
#include <QRegularExpression>
#include <QTextBlock>
#include <QTextTable>
#include <QUrl>

#include "app/handbook/handbook.h"
#include "vision/base/file.h"

namespace app::handbook {
namespace {

constexpr const char* kSketches[] = {"section", "strip"};
constexpr int kShown = 600;  ///< Width of a sketch in a text, px.

QString TitleIn(const QString& language) {
  return language == "es" ? QString("Rootscroll: manual") : QString("Rootscroll: handbook");
}

void AddSketches(QTextDocument& document, const QString& language) {
  for (const char* name : kSketches)
    document.addResource(QTextDocument::ImageResource, QUrl(QString("sketch:") + name),
                         Sketch(name, language).scaledToWidth(kShown, Qt::SmoothTransformation));
}

/// Lines round the cells: Qt's Markdown reader draws none.
void RuleTables(QTextFrame& frame) {
  for (QTextFrame* child : frame.childFrames()) {
    if (auto* table = qobject_cast<QTextTable*>(child)) {
      QTextTableFormat format = table->format();
      format.setBorder(1), format.setBorderCollapse(true), format.setCellPadding(3), format.setCellSpacing(0);
      format.setBorderBrush(QColor(150, 150, 150));
      format.setHeaderRowCount(1);  // again on the next page
      table->setFormat(format);
    }
    RuleTables(*child);
  }
}

/// Lines of code on a tint of their own; long ones wrap, so that none runs off the page.
void SetCode(QTextDocument& document) {
  for (QTextBlock block = document.begin(); block.isValid(); block = block.next()) {
    if (!block.blockFormat().hasProperty(QTextFormat::BlockCodeFence)) continue;
    QTextBlockFormat format = block.blockFormat();
    format.setNonBreakableLines(false);
    format.setBackground(QColor(238, 238, 238));
    QTextCursor(block).setBlockFormat(format);
  }
}

void SetMarkdown(QTextDocument& document, const QString& markdown, const QString& language) {
  QFont font("DejaVu Sans");
  font.setPointSizeF(9.5);
  font.setLetterSpacing(QFont::AbsoluteSpacing, 0.02);  // no ligatures: a search finds the words of the PDF
  document.setDefaultFont(font);
  document.setMarkdown(markdown, QTextDocument::MarkdownDialectGitHub);
  AddSketches(document, language);  // after the text: setting it forgets what was added
  RuleTables(*document.rootFrame());
  SetCode(document);
}

vision::Result<std::string> PdfOf(const QString& language) {
  QString all;
  for (const Chapter& chapter : Chapters(language)) all += chapter.markdown + "\n\n";
  QTextDocument document;
  SetMarkdown(document, all, language);
  for (QTextBlock block = document.begin(); block.isValid(); block = block.next()) {
    if (block.blockFormat().headingLevel() != 1 || block.position() == 0) continue;
    QTextCursor cursor(block);
    QTextBlockFormat format = block.blockFormat();
    format.setPageBreakPolicy(QTextFormat::PageBreak_AlwaysBefore);
    cursor.setBlockFormat(format);
  }
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  QPdfWriter writer(&buffer);
  writer.setPageSize(QPageSize(QPageSize::A4));
  writer.setPageMargins(QMarginsF(0, 0, 0, 0));  // print() itself leaves 2 cm
  writer.setTitle(TitleIn(language));
  writer.setCreator("Rootscroll " ROOTSCROLL_VERSION);
  document.print(&writer);
  if (bytes.isEmpty()) return vision::Error{vision::ErrorCode::kIo, "The PDF writer did not start."};
  return bytes.toStdString();
}

QString WithSketchesInside(QString html, const QString& language) {
  for (const char* name : kSketches) {
    QByteArray png;
    QBuffer buffer(&png);
    buffer.open(QIODevice::WriteOnly);
    Sketch(name, language).save(&buffer, "PNG");
    html.replace(QString("src=\"sketch:%1\"").arg(name),
                 QString("width=\"%1\" src=\"data:image/png;base64,%2\"").arg(kShown).arg(QString(png.toBase64())));
  }
  return html;
}

std::string HtmlOf(const QString& language) {
  static const QRegularExpression body("<body[^>]*>(.*)</body>", QRegularExpression::DotMatchesEverythingOption);
  QString list, text;
  for (const Chapter& chapter : Chapters(language)) {
    const auto document = DocumentOf(chapter, language);
    list += QString("<li><a href=\"#%1\">%2</a></li>\n").arg(chapter.name, chapter.title.toHtmlEscaped());
    text += QString("<section id=\"%1\">%2</section>\n")
                .arg(chapter.name, WithSketchesInside(body.match(document->toHtml()).captured(1), language));
  }
  return QString(
             "<!DOCTYPE html>\n<html lang=\"%1\"><head><meta charset=\"utf-8\"><title>%2</title>\n"
             "<meta name=\"viewport\" content=\"width=device-width\">\n"
             "<style>body{max-width:52em;margin:1em auto;padding:0 1em;font-family:sans-serif}"
             "td{padding:.2em .5em;vertical-align:top}img{max-width:100%;height:auto}</style>"
             "</head><body><nav><ul>\n%3</ul></nav>\n")
             .arg(language, TitleIn(language), list)
             .toStdString() +
         text.toStdString() + "</body></html>\n";
}

}  // namespace

std::unique_ptr<QTextDocument> DocumentOf(const Chapter& chapter, const QString& language) {
  auto document = std::make_unique<QTextDocument>();
  SetMarkdown(*document, chapter.markdown, language);
  return document;
}

vision::Status WriteHandbook(const std::filesystem::path& file, const QString& language) {
  if (file.extension() == ".html") return vision::WriteFileWhole(file, HtmlOf(language));
  if (file.extension() != ".pdf")
    return vision::BadInput("The handbook's file is " + file.string() + "; its name must end in .pdf or .html.");
  const auto pdf = PdfOf(language);
  return pdf.ok() ? vision::WriteFileWhole(file, pdf.value()) : vision::Status(pdf.error());
}

}  // namespace app::handbook
