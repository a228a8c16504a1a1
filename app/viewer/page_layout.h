#pragma once

#include <optional>
#include <vector>

/// Where things stand on the page: the strip is broken into lines like a written page, so that the whole ring is in
/// sight at once; column after column of the strip runs on from one line to the next and wraps through theta 0 without
/// a seam. No Qt, no pictures: numbers only.
namespace app::viewer {

/// Pixels; y grows downward.
struct Spot {
  double x = 0, y = 0;
};
struct Rect {
  double x = 0, y = 0, width = 0, height = 0;
  bool Contains(Spot spot) const { return spot.x >= x && spot.x < x + width && spot.y >= y && spot.y < y + height; }
};

/// A place on the wall under a spot of the page.
struct PagePlace {
  double theta_deg = 0;  ///< In [0, 360).
  double z_mm = 0;
  int line = 0;
};

/// What the page is of and how large it is.
struct PageShape {
  double radius_mm = 50;
  double z_from_mm = -17, z_to_mm = 17;  ///< Upper and lower border of the strip.
  int width_px = 800, height_px = 600;
  int margin_px = 56;                ///< Left of the lines, for the ribbons' axes.
  int above_px = 70, below_px = 24;  ///< Of every line: ruler and ribbons along the strip's edges.
};

class PageLayout {
 public:
  /// Shows the whole ring.
  explicit PageLayout(const PageShape& shape = {});

  /// Keeps scale and place as far as the new shape allows; a page that showed the whole ring still does.
  void Reshape(const PageShape& shape);

  const PageShape& shape() const { return shape_; }
  double px_per_mm() const { return total_px_ / circumference_mm(); }
  double circumference_mm() const;
  int total_px() const { return total_px_; }  ///< Width of the whole ring at this scale.
  int line_px() const { return line_px_; }    ///< Width of one line.
  int lines() const { return lines_; }
  int top_px() const { return top_px_; }      ///< First row of the scaled strip in sight.
  int strip_px() const { return strip_px_; }  ///< Height of the strip in sight.
  int start_px() const { return start_px_; }  ///< Scaled column at the left of the first line, in [0, total).
  double theta0_deg() const { return start_px_ * 360.0 / total_px_; }
  bool whole() const;  ///< Is the whole ring in sight?

  Rect StripRect(int line) const;  ///< The last line may be shorter.

  std::optional<PagePlace> At(Spot spot) const;

  /// Every spot where a place stands (none, or one).
  std::optional<Spot> SpotOf(double theta_deg, double z_mm) const;

  /// x within a line of a theta that may run beyond 360, for drawing along the line; not clipped.
  double XOnLine(double theta_deg, int line) const;
  double YOnLine(double z_mm, int line) const;

  /// Theta at the left and right end of a line, unwrapped: from <= to.
  std::pair<double, double> ThetaSpan(int line) const;

  void ShowWhole();
  void Pan(double dx_px, double dy_px);
  /// @param factor > 1 magnifies. The place under `spot` stays there, if the page can.
  void ZoomAbout(Spot spot, double factor);
  void SetScale(double px_per_mm);
  /// Brings a place to the middle of the page's first or only line when it is not in sight.
  void Reveal(double theta_deg, double z_mm, bool always = false);

  static constexpr double kMostPxPerMm = 640;

 private:
  void Settle();
  double FitScale() const;

  PageShape shape_;
  double scale_ = 1;  ///< Wanted px per mm; total_px_ rounds it so that the ring closes on a whole pixel.
  bool fitted_ = true;
  int total_px_ = 1, line_px_ = 1, lines_ = 1, start_px_ = 0, top_px_ = 0, strip_px_ = 1;
};

}  // namespace app::viewer
