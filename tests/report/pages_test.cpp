#include <gtest/gtest.h>

#include <QImage>

#include "app/report/page_pictures.h"
#include "tests/report/support.h"

namespace app::report {
namespace {

/// Mean darkness (0 to 255) of a grid of 40 x 56 cells of a page.
std::vector<double> Darkness(const QImage& page) {
  constexpr int kAcross = 40, kDown = 56;
  const QImage grey = page.convertToFormat(QImage::Format_Grayscale8);
  std::vector<double> cells(kAcross * kDown), counts(kAcross * kDown);
  for (int y = 0; y < grey.height(); ++y)
    for (int x = 0; x < grey.width(); ++x) {
      const auto cell = static_cast<std::size_t>(y * kDown / grey.height() * kAcross + x * kAcross / grey.width());
      cells[cell] += 255 - grey.constScanLine(y)[x];
      counts[cell] += 1;
    }
  for (std::size_t i = 0; i < cells.size(); ++i) cells[i] /= counts[i];
  return cells;
}

/// How much of the ink lies in other cells.
double ShareOff(const QImage& ours, const QImage& theirs) {
  const auto a = Darkness(ours), b = Darkness(theirs);
  double off = 0, ink = 0;
  for (std::size_t i = 0; i < a.size(); ++i) off += std::abs(a[i] - b[i]), ink += b[i];
  return off / ink;
}

// What a person sees before the file is written is what another renderer (poppler's pdftoppm) draws of the file.
TEST(Pages, ShownAreThoseThatThePdfHolds) {
  const auto folder = report_test::FreshFolder("pages_shown");
  const auto input = report_test::MakeInput(folder);
  const auto files = WriteReport(input, folder / "out");
  ASSERT_TRUE(files.ok());
  constexpr double kDotsPerMm = 4;
  const auto shown = PagesOf(input, {}, kDotsPerMm);
  ASSERT_TRUE(shown.ok());
  ASSERT_EQ(static_cast<int>(shown.value().size()), files.value().pages);
  const std::string at = (folder / "page").string();
  if (!report_test::RunTool("pdftoppm", "-r 101.6 -png '" + files.value().pdf.string() + "' '" + at + "'"))
    GTEST_SKIP() << "pdftoppm (Debian package poppler-utils) is not installed";
  for (int page = 1; page <= files.value().pages; ++page) {
    QImage drawn(QString::fromStdString(at) + QString("-%1.png").arg(page));
    if (drawn.isNull()) drawn = QImage(QString::fromStdString(at) + QString("-%1.png").arg(page, 2, 10, QChar('0')));
    ASSERT_FALSE(drawn.isNull());
    const auto& ours = shown.value()[static_cast<std::size_t>(page - 1)];
    EXPECT_LT(ShareOff(ours, drawn), 0.2) << "page " << page;  // letters are smoothed otherwise: 0.13
    const auto& other = shown.value()[static_cast<std::size_t>(page % files.value().pages)];
    EXPECT_GT(ShareOff(other, drawn), 0.5) << "page " << page;
  }
}

}  // namespace
}  // namespace app::report
