#pragma once

#include <QCache>
#include <QImage>
#include <QPainter>
#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "app/viewer/light.h"
#include "app/viewer/page_layout.h"
#include "app/viewer/pyramid.h"

namespace app::viewer {

/// The strip cut into tiles of the size they are shown at. A tile is made once (pyramid level, light, what was not
/// examined) and then only copied, so that panning costs no scaling.
class StripTiles {
 public:
  void Show(const Pyramid& pyramid);
  /// A second picture of the same strip with its contrast evened out, shown while `Light::local_contrast` is on.
  void SetContrasted(const Pyramid::Levels& levels);
  void SetLight(const Light& light);
  void ShowNotExamined(bool on);
  bool empty() const { return levels_[0].empty(); }
  bool contrasted() const { return !levels_[1].empty(); }
  const Light& light() const { return light_; }

  /// Copies what is in sight of `rect` of the page: `start_px` is the scaled column at its left, `top_px` the scaled
  /// row at its top.
  void Draw(QPainter& painter, const QRect& rect, const PageLayout& layout, int start_px, int top_px);

  static constexpr int kTile = 256;

 private:
  using Levels = Pyramid::Levels;
  QImage Make(int tile_x, int tile_y) const;
  void Scale(const PageLayout& layout);

  std::array<Levels, 2> levels_;  ///< As recorded, and with its contrast evened out.
  Levels seen_;
  int columns_ = 0, rows_ = 0;
  double pitch_mm_ = 0.1;
  Light light_;
  bool show_not_examined_ = true;
  int total_px_ = 0;
  double px_per_mm_ = 0;
  QCache<quint64, QImage> cache_{64 << 10};  ///< KiB.
};

/// BGR to a picture of its own.
QImage ImageOf(const cv::Mat3b& bgr);

}  // namespace app::viewer
