#include "app/viewer/page_layout.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "vision/bore/angle.h"

namespace app::viewer {
namespace {

constexpr int kGap = 8;              ///< Between lines, px.
constexpr double kWorthALine = 1.1;  ///< A further line must make the strip larger by this, or it holds a scrap only.

int Wrapped(long value, int period) { return static_cast<int>(((value % period) + period) % period); }

}  // namespace

PageLayout::PageLayout(const PageShape& shape) : shape_(shape) { ShowWhole(); }

double PageLayout::circumference_mm() const { return 2 * std::numbers::pi * shape_.radius_mm; }

void PageLayout::Reshape(const PageShape& shape) {
  shape_ = shape;
  if (fitted_)
    ShowWhole();
  else
    Settle();
}

bool PageLayout::whole() const { return lines_ * line_px_ >= total_px_; }

double PageLayout::FitScale() const {
  const double line = std::max(64, shape_.width_px - shape_.margin_px - kGap);
  const double overhead = shape_.above_px + shape_.below_px + kGap;
  double best = 0.05;
  for (int lines = 1; lines <= 12; ++lines) {
    const double high = (shape_.height_px / static_cast<double>(lines) - overhead - 1.5) /
                        std::max(1e-6, shape_.z_to_mm - shape_.z_from_mm);
    const double fits = std::min(high, (lines * line - 1) / circumference_mm());
    if (fits > kWorthALine * best) best = fits;
  }
  return best;
}

void PageLayout::Settle() {
  scale_ = std::clamp(scale_, 0.05, kMostPxPerMm);
  const double before = start_px_ / static_cast<double>(total_px_);
  total_px_ = std::max(64, static_cast<int>(std::lround(circumference_mm() * scale_)));
  start_px_ = Wrapped(std::lround(before * total_px_), total_px_);
  line_px_ = std::min(total_px_, std::max(64, shape_.width_px - shape_.margin_px - kGap));
  const int whole_strip = static_cast<int>(std::ceil((shape_.z_to_mm - shape_.z_from_mm) * px_per_mm()));
  const int overhead = shape_.above_px + shape_.below_px + kGap;
  const int fitting = std::max(1, shape_.height_px / (whole_strip + overhead));
  lines_ = std::clamp((total_px_ + line_px_ - 1) / line_px_, 1, fitting);
  strip_px_ = std::max(16, lines_ > 1 ? whole_strip : std::min(whole_strip, shape_.height_px - overhead));
  top_px_ = std::clamp(top_px_, 0, std::max(0, whole_strip - strip_px_));
}

void PageLayout::ShowWhole() {
  fitted_ = true;
  scale_ = FitScale();
  top_px_ = 0;
  Settle();
}

Rect PageLayout::StripRect(int line) const {
  const double pitch = strip_px_ + shape_.above_px + shape_.below_px + kGap;
  const double left_over = total_px_ - static_cast<double>(line) * line_px_;
  return {static_cast<double>(shape_.margin_px), line * pitch + shape_.above_px,
          std::clamp(left_over, 0.0, static_cast<double>(line_px_)), static_cast<double>(strip_px_)};
}

std::optional<PagePlace> PageLayout::At(Spot spot) const {
  for (int line = 0; line < lines_; ++line) {
    const Rect rect = StripRect(line);
    if (!rect.Contains(spot)) continue;
    const double column = start_px_ + static_cast<double>(line) * line_px_ + (spot.x - rect.x);
    return PagePlace{vision::bore::Wrap360(column * 360.0 / total_px_),
                     shape_.z_from_mm + (top_px_ + spot.y - rect.y) / px_per_mm(), line};
  }
  return std::nullopt;
}

double PageLayout::XOnLine(double theta_deg, int line) const {
  return shape_.margin_px + theta_deg / 360.0 * total_px_ - start_px_ - static_cast<double>(line) * line_px_;
}

double PageLayout::YOnLine(double z_mm, int line) const {
  return StripRect(line).y + (z_mm - shape_.z_from_mm) * px_per_mm() - top_px_;
}

std::optional<Spot> PageLayout::SpotOf(double theta_deg, double z_mm) const {
  double along = vision::bore::Wrap360(theta_deg) / 360.0 * total_px_ - start_px_;
  if (along < 0) along += total_px_;
  const int line = static_cast<int>(along / line_px_);
  if (line >= lines_) return std::nullopt;
  const Rect rect = StripRect(line);
  const Spot spot{rect.x + along - static_cast<double>(line) * line_px_, YOnLine(z_mm, line)};
  if (spot.y < rect.y || spot.y >= rect.y + rect.height) return std::nullopt;
  return spot;
}

std::pair<double, double> PageLayout::ThetaSpan(int line) const {
  const double from = start_px_ + static_cast<double>(line) * line_px_;
  return {from * 360.0 / total_px_, (from + StripRect(line).width) * 360.0 / total_px_};
}

void PageLayout::Pan(double dx_px, double dy_px) {
  start_px_ = Wrapped(start_px_ - std::lround(dx_px), total_px_);
  top_px_ -= static_cast<int>(std::lround(dy_px));
  Settle();
}

void PageLayout::SetScale(double px_per_mm) {
  const double middle_z = (top_px_ + strip_px_ / 2.0) / this->px_per_mm();
  fitted_ = false;
  scale_ = std::max(px_per_mm, FitScale());
  Settle();
  top_px_ = static_cast<int>(middle_z * this->px_per_mm() - strip_px_ / 2.0);
  Settle();
}

void PageLayout::ZoomAbout(Spot spot, double factor) {
  const auto place = At(spot);
  fitted_ = false;
  scale_ = px_per_mm() * factor;
  if (scale_ <= FitScale()) return ShowWhole();
  Settle();
  if (!place) return;
  // On the first line when the place's own line is no longer there.
  const int line = std::min(place->line, lines_ - 1);
  const Rect rect = StripRect(line);
  start_px_ = Wrapped(
      std::lround(place->theta_deg / 360.0 * total_px_ - line * static_cast<double>(line_px_) - (spot.x - rect.x)),
      total_px_);
  top_px_ = static_cast<int>(std::lround((place->z_mm - shape_.z_from_mm) * px_per_mm() - (spot.y - rect.y)));
  Settle();
}

void PageLayout::Reveal(double theta_deg, double z_mm, bool always) {
  if (!always && SpotOf(theta_deg, z_mm)) return;
  start_px_ = Wrapped(std::lround(vision::bore::Wrap360(theta_deg) / 360.0 * total_px_) - line_px_ / 2, total_px_);
  top_px_ = static_cast<int>((z_mm - shape_.z_from_mm) * px_per_mm() - strip_px_ / 2.0);
  Settle();
}

}  // namespace app::viewer
