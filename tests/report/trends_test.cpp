#include "app/report/trends.h"

#include <gmock/gmock.h>
#include <unistd.h>

#include <QImage>
#include <QPainter>
#include <array>
#include <cmath>

#include "app/report/wording.h"
#include "app/words/print.h"

namespace app::report {
namespace {

namespace fs = std::filesystem;

QImage Painted(const Figure& figure) {
  QImage image(static_cast<int>(figure.width_mm * 10), static_cast<int>(figure.height_mm * 10), QImage::Format_RGB32);
  image.fill(Qt::white);
  QPainter painter(&image);
  figure.paint(painter, Wording::Of({}));
  return image;
}

bool Dark(const QImage& image, int x, int y) { return qGray(image.pixel(x, y)) < 110; }

/// First and last dark pixel of a line of the picture in [from, to).
std::pair<int, int> Ends(const QImage& image, int y, int from, int to) {
  int first = -1, last = -1;
  for (int x = from; x < to; ++x)
    if (Dark(image, x, y)) first = first < 0 ? x : first, last = x;
  return {first, last};
}

TEST(Trends, AnIntervalIsDrawnWhereItsNumbersAre) {
  ASSERT_FALSE(StartOffscreen());
  const auto figures =
      ShareFigures({{"W-1", 12, 5, 5, 0.1871, 0.8129}, {"W-2", 1, 0, 1, 0, 0.975}}, {}, words::Print::kWelder, 178);
  ASSERT_EQ(figures.size(), 1u);
  const QImage image = Painted(figures[0]);
  const auto [zero, hundred] = Ends(image, 80, 320, 1180);  // the lines of 0 and 100 %, above the first row
  ASSERT_GT(hundred - zero, 500);
  const int row = 124;  // middle of the first row
  const auto [low, high] = Ends(image, row, zero + 4, hundred - 3);
  EXPECT_NEAR(static_cast<double>(low - zero) / (hundred - zero), 0.1871, 0.006);
  EXPECT_NEAR(static_cast<double>(high - zero) / (hundred - zero), 0.8129, 0.006);
  const auto [left, right] = Ends(image, row - 10, zero + (hundred - zero) / 4, hundred - (hundred - zero) / 4);
  EXPECT_NEAR(0.5 * (left + right), 0.5 * (zero + hundred), 4) << "the point of 5 of 10 decided, two more are not";
}

TEST(Trends, ALongListGoesOnInAnotherFigure) {
  const auto figures =
      ShareFigures(std::vector<TrendShare>(30, {"W", 1, 1, 0, 0.025, 1}), {}, words::Print::kWelder, 178);
  ASSERT_EQ(figures.size(), 2u);
  EXPECT_GT(figures[0].height_mm, figures[1].height_mm);
}

TEST(Trends, ThreeOClockLiesToTheRightAndTwelveOnTop) {
  ASSERT_FALSE(StartOffscreen());
  const auto inked = [](int hour) {  // dark pixels in the quarters right, left, up and down of the middle
    std::vector<TrendHour> hours;
    for (int h : {12, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11})
      hours.push_back({h, h == hour ? 4 : 0, h == hour ? 30.0 : 0.0});
    const QImage image = Painted(HoursFigure(hours, 178));
    std::array<int, 4> counts{};
    for (int y = 0; y < image.height(); ++y)
      for (int x = 0; x < 1020; ++x) {
        const int dx = x - 510, dy = y - 510;
        const double radius = std::hypot(dx, dy);
        if (radius < 130 || radius > 380 || !Dark(image, x, y)) continue;
        ++counts[std::abs(dx) > std::abs(dy) ? (dx > 0 ? 0u : 1u) : (dy < 0 ? 2u : 3u)];
      }
    return counts;
  };
  EXPECT_GT(inked(3)[0], 5000);
  EXPECT_LT(inked(3)[1], 500);
  EXPECT_GT(inked(12)[2], 5000);
  EXPECT_LT(inked(12)[3], 500);
}

TEST(Trends, PagesAndPicturesAreWritten) {
  const fs::path folder = fs::temp_directory_path() / ("rootscroll_trends_" + std::to_string(::getpid()));
  fs::remove_all(folder);
  Trends trends{"yard.book", {{"W-1", 10, 5, 3, 0.1871, 0.8129}}, {}, {{12, 2, 40}}};
  auto files = WriteTrends(trends, folder, Paper::kA4);
  ASSERT_TRUE(files.ok()) << files.error().message;
  for (const char* name : {"trends.html", "trends.pdf", "trend_welders.png", "trend_clock.png"})
    EXPECT_TRUE(fs::exists(folder / name)) << name;
  EXPECT_FALSE(fs::exists(folder / "trend_inserts.png")) << "nothing was judged by class";
  fs::remove_all(folder);
}

}  // namespace
}  // namespace app::report
