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
    const auto ours = Darkness(shown.value()[static_cast<std::size_t>(page - 1)]), theirs = Darkness(drawn);
    double off = 0, ink = 0;
    for (std::size_t i = 0; i < ours.size(); ++i) off += std::abs(ours[i] - theirs[i]), ink += theirs[i];
    EXPECT_LT(off, 0.12 * ink) << "page " << page;  // letters are smoothed otherwise; a line in another place is 1
  }
}

}  // namespace
}  // namespace app::report
