#include "app/viewer/tiles.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace app::viewer {
namespace {

constexpr int kMargin = Pyramid::kMargin, kLevels = Pyramid::kLevels;

/// Veils what was not examined: darker, with a sparse dot pattern that needs no colour.
void Veil(cv::Mat3b& tile, const cv::Mat1b& seen, int x0, int y0) {
  for (int y = 0; y < tile.rows; ++y)
    for (int x = 0; x < tile.cols; ++x) {
      if (seen(y, x) >= 128) continue;
      const int across = (x + x0) % 8, down = (y + y0) % 8;
      const bool dot = (across < 2 && down < 2) || (across >= 4 && across < 6 && down >= 4 && down < 6);
      auto& cell = tile(y, x);
      cell = dot ? cv::Vec3b(200, 200, 200)
                 : cv::Vec3b(static_cast<uchar>(cell[0] / 3 + 30), static_cast<uchar>(cell[1] / 3 + 30),
                             static_cast<uchar>(cell[2] / 3 + 30));
    }
}

}  // namespace

QImage ImageOf(const cv::Mat3b& bgr) {
  if (bgr.empty()) return {};
  cv::Mat bgra;
  cv::cvtColor(bgr, bgra, cv::COLOR_BGR2BGRA);
  return QImage(bgra.data, bgra.cols, bgra.rows, static_cast<qsizetype>(bgra.step), QImage::Format_RGB32).copy();
}

void StripTiles::Show(const Pyramid& pyramid) {
  levels_ = {pyramid.picture, {}};
  seen_ = pyramid.seen;
  columns_ = pyramid.columns, rows_ = pyramid.rows, pitch_mm_ = pyramid.pitch_mm;
  cache_.clear();
}

void StripTiles::SetContrasted(const Pyramid::Levels& levels) {
  levels_[1] = levels;
  if (light_.local_contrast) cache_.clear();
}

void StripTiles::SetLight(const Light& light) {
  if (light == light_) return;
  light_ = light;
  cache_.clear();
}

void StripTiles::ShowNotExamined(bool on) {
  if (on == show_not_examined_) return;
  show_not_examined_ = on;
  cache_.clear();
}

void StripTiles::Scale(const PageLayout& layout) {
  if (layout.total_px() == total_px_ && layout.px_per_mm() == px_per_mm_) return;
  total_px_ = layout.total_px();
  px_per_mm_ = layout.px_per_mm();
  cache_.clear();
}

QImage StripTiles::Make(int tile_x, int tile_y) const {
  const double cells_x = static_cast<double>(columns_) / total_px_, cells_y = 1 / (px_per_mm_ * pitch_mm_);
  int level = 0;
  while (level + 1 < kLevels && std::ldexp(1, level + 1) <= cells_x) ++level;
  const double shrink = std::ldexp(1, level), shift = (shrink - 1) / 2;
  const int width = std::min(kTile, total_px_ - tile_x * kTile);
  const double x0 = tile_x * kTile + 0.5, y0 = tile_y * kTile + 0.5;
  const cv::Matx23d level_from_tile(cells_x / shrink, 0, (x0 * cells_x + kMargin - shift) / shrink,  //
                                    0, cells_y / shrink, (y0 * cells_y - shift) / shrink);
  const auto& source = levels_[light_.local_contrast && contrasted() ? 1 : 0];
  const bool near = cells_x < 0.25;  // single cells are to be seen as such
  cv::Mat3b tile;
  cv::warpAffine(source[static_cast<std::size_t>(level)], tile, level_from_tile, {width, kTile},
                 (near ? cv::INTER_NEAREST : cv::INTER_LINEAR) | cv::WARP_INVERSE_MAP, cv::BORDER_REPLICATE);
  if (light_.gain != 1 || light_.gamma != 1) {
    const auto curve = Curve(light_);
    cv::LUT(tile, cv::Mat1b(1, 256, const_cast<uchar*>(curve.data())), tile);
  }
  if (show_not_examined_ && !seen_.empty()) {
    cv::Mat1b seen;
    cv::warpAffine(seen_[static_cast<std::size_t>(level)], seen, level_from_tile, {width, kTile},
                   cv::INTER_NEAREST | cv::WARP_INVERSE_MAP, cv::BORDER_REPLICATE);
    Veil(tile, seen, tile_x * kTile, tile_y * kTile);
  }
  return ImageOf(tile);
}

void StripTiles::Draw(QPainter& painter, const QRect& rect, const PageLayout& layout, int start_px, int top_px) {
  if (empty() || rect.isEmpty()) return;
  Scale(layout);
  for (int done = 0; done < rect.width();) {
    const int column = (start_px + done) % total_px_, tile_x = column / kTile, inside = column - tile_x * kTile;
    const int width = std::min({kTile - inside, total_px_ - column, rect.width() - done});
    for (int row = top_px; row < top_px + rect.height();) {
      const int tile_y = row / kTile, from = row - tile_y * kTile;
      const int height = std::min(kTile - from, top_px + rect.height() - row);
      const quint64 key = (static_cast<quint64>(tile_x) << 32) | static_cast<quint64>(tile_y);
      QImage* tile = cache_.object(key);
      if (!tile) {
        tile = new QImage(Make(tile_x, tile_y));
        cache_.insert(key, tile, kTile * kTile * 4 / 1024);
      }
      painter.drawImage(QPoint(rect.x() + done, rect.y() + row - top_px), *tile, QRect(inside, from, width, height));
      row += height;
    }
    done += width;
  }
}

}  // namespace app::viewer
