#include <gmock/gmock.h>

#include <QImage>
#include <QPainter>
#include <cstdio>
#include <map>

#include "app/book/findings.h"
#include "app/book/profile_csv.h"
#include "app/marks/rings.h"
#include "app/report/figures.h"
#include "app/report/wording.h"
#include "tests/report/support.h"

/// One joint with every kind of statement, and what each output says of each: PDF, HTML, Judge, CSV, book in words, the
/// end view and the strip by their ink. The list and the welder's view of the window are in tests/viewer, on the same
/// joint.
namespace app::report {
namespace {

using report_test::FreshFolder;
using report_test::HtmlText;
using report_test::PdfText;
using report_test::ReadAll;
using testing::HasSubstr;
using testing::Not;

struct Outputs {
  ReportInput input;
  std::map<std::string, std::string> text;  ///< By output.
};

std::string JudgeText(const joint::Verdict& verdict, const std::string& language) {
  HousePaper paper;
  paper.language = language;
  const Wording wording = Wording::Of(paper);
  QString text = wording(words::Term(verdict.disposition));
  for (const auto& finding : verdict.findings) {
    for (const std::string& part : {finding.title, joint::NameOf(finding.outcome)})
      text += " " + wording(words::Term(part));
    for (const auto& sentence : finding.reason) text += " " + wording(sentence);
  }
  for (const auto& note : verdict.notes) text += " " + wording(note);
  return text.toStdString();
}

std::string BookText(const known::Known& known) {
  std::string text;
  for (const auto& finding : book::FindingsOf(known))
    text += finding.kind + " " + finding.side + " " + finding.state + " " + finding.closed_because + "\n";
  return text + known::Said(known.recorded);
}

Outputs Made(const std::string& language) {
  const auto folder = FreshFolder("nine_" + language);
  Outputs out{report_test::EveryStatement(folder), {}};
  out.input.paper.language = language;
  const auto files = WriteReport(out.input, folder / "out");
  EXPECT_TRUE(files.ok()) << files.error().message;
  out.text["HTML"] = HtmlText(ReadAll(files.value().html));
  if (const auto pdf = PdfText(files.value().pdf)) out.text["PDF"] = *pdf;
  out.text["Judge"] = JudgeText(out.input.verdict, language);
  const auto known = known::Know(out.input.reading, out.input.notes, out.input.recorded);
  out.text["CSV"] = book::ToCsv(book::WithCaution(book::FindingRows(known, out.input.verdict)));
  out.text["book"] = BookText(known);
  return out;
}

/// What an output must say of a kind of statement; files and records are in English whatever the paper's language is.
struct SaidWhere {
  const char *statement, *output, *english, *spanish;
};

const SaidWhere kTable[] = {
    {"measured", "PDF", "original edge visible, piece a: spool end", "borde original visible, pieza a: spool end"},
    {"measured", "HTML", "10.76 ± 0.80 mm", "10.76 ± 0.80 mm"},
    {"measured", "Judge", "Original edge visible on the side of spool end",
     "Borde original visible en el lado de spool"},
    {"measured", "CSV", "run,original edge visible,,measured,left,48,56", nullptr},
    {"measured", "book", "original edge visible left open", nullptr},
    {"not visible", "PDF", "not visible: not examined", "no visible: no examinado"},
    {"not visible", "HTML", "piece b side 298 of 360 degrees", "lado de la pieza b 298 de 360 grados"},
    {"not visible", "Judge", "is not visible over", "no es visible en"},
    {"not visible", "CSV", "is not visible over", nullptr},
    {"overruled", "PDF", "overruled by R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp",
     "desestimado por R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp"},
    {"overruled", "HTML", "overruled by R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp",
     "desestimado por R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp"},
    {"overruled", "Judge", "overruled by R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp",
     "desestimado por R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp"},
    {"overruled", "CSV", "\"overruled by R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp\"", nullptr},
    {"overruled", "book", "closed overruled by R. Example, 2026-01-31T10:00:00Z: a scratch of the clamp", nullptr},
    {"overruled, still as measured", "PDF", "16.1 ± 1.0 mm", "16.1 ± 1.0 mm"},
    {"overruled, still as measured", "Judge", "352.0 to 4.0 degrees", "de 352.0 a 4.0 grados"},
    {"overruled, still as measured", "CSV", "measured, overruled", nullptr},
    {"overruled indication", "PDF", "grinding dust", "grinding dust"},
    {"overruled indication", "Judge", "grinding dust", "grinding dust"},
    {"set by hand", "PDF", "set by hand by R. Example, 2026-01-31T10:00:00Z: the lamp's glint was taken for it",
     "puesto a mano por R. Example, 2026-01-31T10:00:00Z: the lamp's glint was taken for it"},
    {"set by hand", "HTML", "assumed until it is placed five times", "supuesta hasta que se coloque cinco veces"},
    {"set by hand", "CSV", "toe set by hand", nullptr},
    {"noted, open", "PDF", "open, not judged; seen by R. Example", "abierto, no juzgado; visto por R. Example"},
    {"noted, open", "HTML", "dark spot", "dark spot"},
    {"noted, open", "CSV", "note,surface pore,2017,\"open, not judged\"", nullptr},
    {"noted, accepted", "PDF", "felt with the nail", "felt with the nail"},
    {"noted, accepted", "Judge", "Depth of grind marks and gouges", "Profundidad de marcas de amolado y hendiduras"},
    {"noted, accepted", "CSV", "note,gouge,,\"accepted, judged\"", nullptr},
    {"relative angles", "PDF", "48.0° to 56.0° relative", "48.0° a 56.0° relativo"},
    {"relative angles", "Judge", "Angles are relative to the picture", "ángulos son relativos a la imagen"},
    {"relative angles", "CSV", "relative to the picture's up; no clock is stated", nullptr},
    {"unknown facts", "PDF", "class unknown, as-laid width unknown",
     "clase desconocida, ancho al colocarlo desconocido"},
    {"unknown facts", "HTML", "unknown: nobody entered a datum", "desconocida: nadie introdujo una referencia"},
    {"light section", "PDF", "Heights by: light section", "Alturas por: sección de luz"},
    {"light section", "HTML", "0.80 ± 0.10 mm", "0.80 ± 0.10 mm"},
    {"where it is kept", "PDF", "what people decided is in the notes file",
     "lo que decidieron las personas está en el archivo de notas"},
    {"where it is kept", "CSV", "what people decided is in the notes file", nullptr},
    {"where it is kept", "book", "in the notes file", nullptr},
    {"it supports", "PDF", "supports and never replaces the qualified examiner",
     "nunca sustituye al examinador cualificado"},
    {"it supports", "CSV", "supports and never replaces the qualified examiner", nullptr},
};

class NineOutputs : public testing::TestWithParam<const char*> {};

TEST_P(NineOutputs, SayTheSameOfEachKindOfStatement) {
  const std::string language = GetParam();
  const Outputs out = Made(language);
  for (const SaidWhere& row : kTable) {
    const auto text = out.text.find(row.output);
    if (text == out.text.end()) continue;  // no pdftotext
    const char* words = language == "es" && row.spanish ? row.spanish : row.english;
    const bool said = text->second.find(words) != std::string::npos;
    std::printf("%-30s %-6s %-3s %s\n", row.statement, row.output, said ? "yes" : "NO", words);
    EXPECT_TRUE(said) << row.statement << " in " << row.output << ": " << words;
  }
}

TEST_P(NineOutputs, NoneStatesAClockWhereThePicturesUpIsNotKnown) {
  const Outputs out = Made(GetParam());
  // Times of day as people's words carry them are no clock positions.
  for (const char* output : {"PDF", "HTML"}) {
    const auto text = out.text.find(output);
    if (text == out.text.end()) continue;
    EXPECT_THAT(text->second, Not(testing::ContainsRegex("[^0-9T:][0-9]{1,2}:[0-9]{2}[^:0-9]"))) << output;
  }
}

TEST_P(NineOutputs, NoneCallsTheOverruledEdgeFused) {
  const Outputs out = Made(GetParam());
  const auto known = known::Know(out.input.reading, out.input.notes, out.input.recorded);
  for (std::size_t i = 704; i < 728; ++i)  // 352 to 4 degrees, piece b
    EXPECT_EQ(known.edges_b[i % 720], known::Edge::kOverruled) << i;
  EXPECT_THAT(out.text.at("CSV"), Not(HasSubstr("fused,right")));
}

INSTANTIATE_TEST_SUITE_P(BothLanguages, NineOutputs, testing::Values("en", "es"),
                         [](const auto& language) { return std::string(language.param); });

double InkAt(const Figure& figure, double theta_deg, double radius) {
  QImage image(static_cast<int>(figure.width_mm * 10), static_cast<int>(figure.height_mm * 10),
               QImage::Format_Grayscale8);
  image.fill(255);
  QPainter painter(&image);
  figure.paint(painter, Wording::Of({}));
  const double a = theta_deg * 3.14159265358979 / 180;
  const int x = static_cast<int>(520 + radius * std::sin(a)), y = static_cast<int>(500 - radius * std::cos(a));
  int dark = 0;
  for (int v = y - 14; v < y + 14; ++v)
    for (int u = x - 14; u < x + 14; ++u) dark += qGray(image.pixel(u, v)) < 160 ? 1 : 0;
  return dark / (28.0 * 28.0);
}

TEST(NineOutputsDrawn, EndViewPutsEachStateOnTheRingOfItsOwnPiece) {
  const Outputs out = Made("en");
  const auto known = known::Know(out.input.reading, out.input.notes);
  const Figure rings = EndViewFigure(known, 178);
  // By the one rule: the end one looks from is the outer ring; paper looks from piece a.
  ASSERT_EQ(marks::RingOf(marks::Side::kA, marks::LookFrom::kA), marks::Ring::kOuter);
  const double outer = 345, inner = 240;
  EXPECT_GT(InkAt(rings, 52, outer), 0.25) << "measured at piece a";
  EXPECT_LT(InkAt(rings, 52, inner), 0.05) << "not at piece b";
  EXPECT_GT(InkAt(rings, 358, inner), 0.1) << "overruled at piece b, still drawn";
  EXPECT_LT(InkAt(rings, 356, outer), 0.05);
  EXPECT_GT(InkAt(rings, 208, outer), 0.02) << "not visible at piece a";
}

}  // namespace
}  // namespace app::report
