#include "app/report/figures.h"

#include <gtest/gtest.h>

#include <QGuiApplication>
#include <QImage>
#include <QPainter>
#include <cmath>

#include "app/report/wording.h"
#include "tests/report/support.h"

namespace app::report {
namespace {

QImage Painted(const Figure& figure) {
  QImage image(static_cast<int>(figure.width_mm * 10), static_cast<int>(figure.height_mm * 10),
               QImage::Format_Grayscale8);
  image.fill(255);
  QPainter painter(&image);
  figure.paint(painter, Wording::Of({}));
  return image;
}

/// Share of dark ink in a 40 x 40 unit window.
double Ink(const QImage& image, int x, int y) {
  int dark = 0;
  for (int v = y - 20; v < y + 20; ++v) {
    for (int u = x - 20; u < x + 20; ++u) dark += qGray(image.pixel(u, v)) < 160 ? 1 : 0;
  }
  return dark / 1600.0;
}

known::Known Known(const ReportInput& input) { return known::Know(input.reading, input.notes); }

class FiguresTest : public testing::Test {
 protected:
  void SetUp() override {
    // WriteReport makes the application that fonts need.
    folder_ = report_test::FreshFolder(std::string("figures_") +
                                       testing::UnitTest::GetInstance()->current_test_info()->name());
    input_ = report_test::MakeInput(folder_);
    ASSERT_TRUE(WriteReport(input_, folder_ / "out").ok());
  }
  std::filesystem::path folder_;
  ReportInput input_;
};

/// Rings about (520, 500): outer 310 to 380 = piece a, the end one looks from, inner 205 to 275 = piece b; looking
/// along +z, 3 o'clock is right.
TEST_F(FiguresTest, EndViewHatchesTheRingAndTheClockPositionOfTheRun) {
  auto& profile = input_.reading.profile;
  input_.reading.unfused.clear();
  for (auto* states : {&profile.fusion_left, &profile.fusion_right})
    states->assign(720, vision::reading::Fusion::kFused);
  const auto at = [&](int x, int y) { return Ink(Painted(EndViewFigure(Known(input_), 178)), x, y); };
  const int x_a = 520 + 333, y_a = 500 + 89;  // 105 degrees, radius 345, counted by hand: sin 0.966, -cos 0.259
  const int x_b = 520 + 232, y_b = 500 + 62;  // the same hour in ring b, radius 240
  EXPECT_EQ(at(x_a, y_a), 0);
  EXPECT_EQ(at(x_b, y_b), 0);
  for (std::size_t i = 200; i < 220; ++i)
    profile.fusion_left[i] = vision::reading::Fusion::kUnfused;  // 100 to 110 degrees
  EXPECT_GT(at(x_a, y_a), 0.2);
  EXPECT_EQ(at(x_b, y_b), 0);
  EXPECT_EQ(at(520 - 333, y_a), 0);  // not mirrored to 9 o'clock
}

TEST_F(FiguresTest, EndViewTellsTheThreeStatesApartInGrey) {
  auto& profile = input_.reading.profile;
  input_.reading.unfused.clear();
  const auto ink = [&](vision::reading::Fusion state) {
    profile.fusion_left.assign(720, state);
    return Ink(Painted(EndViewFigure(Known(input_), 178)), 520 + 333, 500 + 89);
  };
  const double fused = ink(vision::reading::Fusion::kFused), hidden = ink(vision::reading::Fusion::kNotVisible);
  const double unfused = ink(vision::reading::Fusion::kUnfused);
  EXPECT_EQ(fused, 0);
  EXPECT_GT(hidden, 0.02);
  EXPECT_GT(unfused, 3 * hidden);
}

TEST_F(FiguresTest, AnOverruledRunIsDrawnAsNeitherFusedNorUnfused) {
  auto& profile = input_.reading.profile;
  profile.fusion_left.assign(720, vision::reading::Fusion::kFused);
  for (std::size_t i = 200; i < 220; ++i) profile.fusion_left[i] = vision::reading::Fusion::kUnfused;
  input_.reading.unfused = {{100, 110, "left", 0.9, 13, 0.4, ""}};
  const auto ink = [&] { return Ink(Painted(EndViewFigure(Known(input_), 178)), 520 + 333, 500 + 89); };
  const double unfused = ink();
  input_.notes.rulings = {
      {notes::FingerprintOf(input_.reading.unfused[0]), true, "a scratch", {"R. Example", "2026-01-31T10:00:00Z"}}};
  const double overruled = ink();
  EXPECT_GT(overruled, 0.02);           // not plain: not fused
  EXPECT_LT(overruled, 0.8 * unfused);  // and not the pattern of an edge that stands
}

/// Strip drawn with a white left half: the row from 12 to 4 is cut from the first third and shows it.
TEST_F(FiguresTest, StripRowsShowTheirOwnPartOfTheStrip) {
  QImage strip(3600, 361, QImage::Format_RGB32);
  strip.fill(Qt::black);
  for (int y = 0; y < 361; ++y) {
    for (int x = 1200; x < 2400; ++x) strip.setPixel(x, y, qRgb(255, 255, 255));  // 120 to 240 degrees
  }
  input_.reading.strip.pitch_mm = 0.1;
  input_.reading.strip.columns = 3600;
  input_.reading.strip.theta_pitch_deg = 0.1;
  input_.reading.unfused.clear();
  const auto rows = StripFigures(Known(input_), strip, QImage(), 178);
  ASSERT_EQ(rows.size(), 3u);  // 484 mm on 161 mm of paper
  EXPECT_EQ(words::EnglishOf(rows[1].title), "Flat strip, 4:00 to 8:00 (120.0° to 240.0°)");
  EXPECT_GT(Ink(Painted(rows[0]), 900, 175), 0.9);
  EXPECT_LT(Ink(Painted(rows[1]), 900, 175), 0.1);
  EXPECT_GT(Ink(Painted(rows[2]), 900, 175), 0.9);
}

TEST_F(FiguresTest, RibbonChangesWithTheWidthAndTheLimit) {
  const auto before = Painted(RibbonFigure(Known(input_), {}, 178));
  auto changed = input_;
  changed.reading.profile.width_mm[100] += 0.8;
  EXPECT_NE(Painted(RibbonFigure(Known(changed), {}, 178)), before);
  changed = input_;
  changed.width_limit = WidthLimit{std::nullopt, 7.0, "house rule"};
  EXPECT_NE(Painted(RibbonFigure(Known(changed), changed.width_limit, 178)), before);
}

}  // namespace
}  // namespace app::report
