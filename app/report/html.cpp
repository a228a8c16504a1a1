#include "app/report/html.h"

#include <QBuffer>
#include <QPainter>

#include "app/report/drawing.h"
#include "app/report/wording.h"
#include "app/words/print.h"

namespace app::report {

namespace {
using words::Print;

constexpr int kDotsPerMm = 10;  // 254 dpi: a figure's unit is one pixel

const char* const kStyle = R"(
:root{--ink:#1a1a1a;--head:#103844;--rule:#787878;--pale:#eef0f0}
body{font:15px/1.45 "DejaVu Sans","Noto Sans",sans-serif;color:var(--ink);background:#fff;max-width:190mm;margin:8mm auto;padding:0 4mm}
header{border-bottom:3px solid var(--head);margin-bottom:6mm}
h1{font-size:1.45em;color:var(--head);margin:0 0 1mm}
header p{font-size:1.1em;font-weight:bold;margin:0 0 2mm;overflow-wrap:anywhere}
h2{font-size:1.12em;color:var(--head);border-bottom:1px solid var(--rule);margin:8mm 0 2.5mm;padding-bottom:.6mm}
p{margin:1.2mm 0;overflow-wrap:anywhere}.small{font-size:.86em}.strong{font-weight:bold}
.notice{border:2px solid var(--ink);border-left-width:9px;padding:2.5mm 4mm;margin:3mm 0}
.notice b{display:block;color:var(--head)}.lines{white-space:pre-line}
table{border-collapse:collapse;width:100%;table-layout:fixed;margin:2mm 0;font-size:.86em}
th,td{border-bottom:1px solid #bbb;padding:1mm 1.6mm;text-align:left;vertical-align:top;overflow-wrap:anywhere;white-space:pre-line}
thead th{background:var(--pale);border-bottom:1.5px solid var(--ink)}
td img{display:block;max-width:100%;margin-top:1mm;border:1px solid var(--rule)}
figure{margin:3mm 0}figure img{width:100%;display:block}figcaption{font-size:.86em}
.sign{display:grid;grid-template-columns:2fr 2fr 1.2fr 2fr;gap:5mm;margin:10mm 0 4mm}
.sign span{border-top:1px solid var(--ink);padding-top:1mm;font-size:.86em}
.letterhead{display:flex;align-items:center;gap:4mm}.letterhead img{height:9mm}.letterhead span{margin-left:auto;font-size:.86em}
footer{border-top:1px solid var(--rule);margin-top:8mm;font-size:.8em}
.break{break-after:page}
@media print{body{max-width:none;margin:0;padding:0;font-size:10pt}h2{break-after:avoid}
figure,tr,.notice,.sign{break-inside:avoid}thead{display:table-header-group}}
)";

class HtmlSetter {
 public:
  HtmlSetter(const Wording& wording, QStringList& misses) : wording_(wording), misses_(misses) {}

  void operator()(const Heading& heading) { Add("<h2>" + Words(heading.text) + "</h2>\n"); }

  void operator()(const Paragraph& paragraph) {
    const char* kind =
        paragraph.weight == Paragraph::Weight::kSmall || paragraph.weight == Paragraph::Weight::kFine
            ? " class=\"small\""
        : paragraph.weight == Paragraph::Weight::kStrong || paragraph.weight == Paragraph::Weight::kStrongLine
            ? " class=\"strong\""
            : "";
    Add(QString("<p%1>").arg(kind) + Words(paragraph.text) + "</p>\n");
  }

  void operator()(const Notice& notice) {
    Add("<div class=\"notice\"><b>" + Words(notice.title) + "</b><div class=\"lines\">" + Words(notice.text) +
        "</div></div>\n");
  }

  void operator()(const Table& table) {
    double total = 0;
    for (const auto& column : table.columns) total += column.share;
    Add("<table><colgroup>");
    for (const auto& column : table.columns) {
      Add("<col style=\"width:" + QString::number(100 * column.share / total, 'f', 1) + "%\">");
    }
    Add("</colgroup>\n");
    if (table.titled) {
      Add("<thead><tr>");
      for (const auto& column : table.columns) Add("<th scope=\"col\">" + Words(column.title) + "</th>");
      Add("</tr></thead>\n");
    }
    for (const auto& row : table.rows) AddRow(row);
    Add("</table>\n");
  }

  void operator()(const Figure& figure) {
    Add("<figure><img alt=\"" + Words(figure.title) + "\" src=\"" + DataUri(Painted(figure)) + "\">");
    if (!figure.text.empty()) Add("<figcaption>" + Words(figure.text) + "</figcaption>");
    Add("</figure>\n");
  }

  void operator()(const Signatures& signatures) {
    for (const Text& role : signatures.roles)
      Add("<div class=\"sign\"><span>" + Words(role) + ": " + Words(Print::kName) + "</span><span>" +
          Words(Print::kQualificationLine) + "</span><span>" + Words(Print::kDate) + "</span><span>" +
          Words(Print::kSignature) + "</span></div>\n");
  }

  void operator()(const PageBreak&) { Add("<div class=\"break\"></div>\n"); }

  QString Letterhead(const Content& content) {
    if (content.company.empty() && content.header.empty() && content.logo.isNull()) return {};
    QString text = "<div class=\"letterhead\">";
    if (!content.logo.isNull()) text += "<img alt=\"logo\" src=\"" + DataUri(content.logo) + "\">";
    return text + "<b>" + Words(content.company) + "</b><span>" + Words(content.header) + "</span></div>";
  }

  void Add(const QString& text) { html_ += text.toUtf8(); }
  QString Words(const Text& text) { return wording_(text, &misses_).toHtmlEscaped(); }
  std::string Take() { return html_.toStdString(); }

 private:
  void AddRow(const std::vector<Cell>& row) {
    Add("<tr>");
    for (const Cell& cell : row) {
      const char* tag = cell.strong ? "th" : "td";
      Add(QString("<%1>").arg(tag) + Words(cell.text));
      if (!cell.picture.isNull())
        Add("<img alt=\"" + Words(Print::kPictureOfPlace) + "\" src=\"" + DataUri(cell.picture) + "\">");
      Add(QString("</%1>").arg(tag));
    }
    Add("</tr>\n");
  }

  QImage Painted(const Figure& figure) const {
    QImage image(static_cast<int>(figure.width_mm * kDotsPerMm), static_cast<int>(figure.height_mm * kDotsPerMm),
                 QImage::Format_RGB32);
    image.fill(Qt::white);
    QPainter painter(&image);
    painter.setRenderHints(QPainter::Antialiasing | QPainter::TextAntialiasing);
    figure.paint(painter, wording_);
    return image;
  }

  static QString DataUri(const QImage& image) {
    QByteArray png;
    QBuffer buffer(&png);
    buffer.open(QIODevice::WriteOnly);
    image.save(&buffer, "PNG");
    return "data:image/png;base64," + QString::fromLatin1(png.toBase64());
  }

  const Wording& wording_;
  QStringList& misses_;
  QByteArray html_;
};
}  // namespace

std::string ToHtml(const Content& content, const std::string& paper_css, const Wording& wording, QStringList& misses) {
  HtmlSetter setter(wording, misses);
  const QString title = setter.Words(content.title), joint = setter.Words(content.joint);
  setter.Add("<!DOCTYPE html>\n<html lang=\"" + wording.language() +
             "\"><head><meta charset=\"utf-8\">\n"
             "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>" +
             title + ": " + joint + "</title>\n<style>@page{size:" + QString::fromStdString(paper_css) +
             ";margin:16mm}" + kStyle + "</style></head>\n<body><header>" + setter.Letterhead(content) + "<h1>" +
             title + "</h1><p>" + joint + "</p></header>\n");
  for (const Block& block : content.blocks) std::visit(setter, block);
  setter.Add("<footer>" + joint + " · " + setter.Words(content.running_text) + "</footer></body></html>\n");
  return setter.Take();
}

}  // namespace app::report
