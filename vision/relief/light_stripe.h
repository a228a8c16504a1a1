#pragma once

#include <Eigen/Core>
#include <cmath>
#include <limits>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/base/result.h"
#include "vision/camera/lens.h"
#include "vision/relief/light_options.h"

/// The bright stripe that a plane of light draws on the wall, found in one frame to a part of a pixel.
/// Everything is in `slopes`: x / z and y / z of the ray in the camera's frame, so that a plane z = D turns a slope
/// into millimetres by D alone, whatever the lens.
namespace vision::relief {

/// What tells the stripe from a highlight of the lamps: the colour of its rim, learnt where the stripe stands alone.
struct RimColour {
  cv::Vec2f wall{0, 0}, direction{0, 0};  ///< Cr and Cb less their middle, codes; direction of length 1.
  double strength = 0;                    ///< Codes.

  bool tells() const { return strength >= kTellingColour; }
  double Of(const cv::Vec2f& colour) const {
    return (colour[0] - wall[0]) * direction[0] + (colour[1] - wall[1]) * direction[1];
  }
  static constexpr double kTellingColour = 10;  ///< Below, a rim hardly differs from the wall.
};

/// The stripe in one column. Its two edges are two cuts through the surface: the inner one where the surface meets the
/// light's far face, the outer one where it meets the near face.
struct StripePoint {
  Eigen::Vector2d inner{NAN, NAN}, outer{NAN, NAN};  ///< Slopes; NaN where that edge is lost.
  bool by_own_light = false;                         ///< Beside a bright bead: its edges are placed less surely.
  bool has_inner() const { return std::isfinite(inner.x()); }
  bool has_outer() const { return std::isfinite(outer.x()); }
};

struct Stripe {
  Eigen::Vector2d centre{0, 0};  ///< Slope of the fitted circle's middle.
  double radius = 0;             ///< Of that circle, as a slope.
  double width = NAN;            ///< Usual, between the edges, as a slope.
  double found_share = 0;        ///< Of the columns within the picture.
  RimColour rim;
  double mm_per_px = 0;             ///< Of height for one source pixel across the stripe, about.
  std::vector<StripePoint> points;  ///< One a column: azimuth 2 pi i / columns about `centre`; lost where broken.
};

/// A circle in slopes.
struct StripeCircle {
  Eigen::Vector2d centre{0, 0};
  double radius = 0;
};

/// Where the other frames put the circle in each of these: the plane of light travels with the camera, whose place and
/// lean change evenly. By the lines that most pairs of frames with a circle of that radius lie on (Theil 1950, Sen
/// 1968).
/// @param same_share Of the radius. @param fewest As StripeTraceOptions::fewest_even. @return Absent in every frame
/// where fewer agree.
std::vector<std::optional<StripeCircle>> EvenCircles(const std::vector<std::optional<Stripe>>& found, double radius,
                                                     double same_share, std::size_t fewest);

/// Source: not noted, so taken as chosen; where a field says none.
struct StripeOptions {
  double radius_mm = 0;  ///< Of the bore; must be set (> 0).
  double expected_slope =
      std::numeric_limits<double>::quiet_NaN();  ///< R / D where D is known, or other frames' radius; > 0.
  double reach_mm = 5;                           ///< Heights sought on either side of the wall, > 0.
  double max_offset_share = 0.35;                ///< Camera's offset as a share of the radius; in (0, 0.8].
  int columns = 1440;                            ///< Around; >= 360.
  /// Weights of linear B, G, R under which the wall is dark and the stripe's own light 1 at most (OwnLight); absent:
  /// luminance, in which a bead beside the stripe shifts its edges.
  std::optional<cv::Vec3f> unmix;
  /// Of three colours the brightest in the place of luminance: a blue stripe hardly stands out in that. Codecs blur it
  /// as they do the own light.
  bool by_brightest = false;
  std::optional<RimColour> rim;  ///< From other frames; else learnt in this one.
  /// As a slope, from other frames: for one in which it is hardly seen on both sides; > 0. No unit.
  double usual_width = NAN;
  /// Where other frames put it (EvenCircles): used where no circle near to it is found, and then the stripe may be
  /// hidden all round.
  std::optional<StripeCircle> known;
  int least_contrast = 30;  ///< Grey levels by which the stripe stands over its surroundings; in [5, 200].
  StripeTraceOptions trace;

  [[nodiscard]] Status Check() const;
};

/// The weights for StripeOptions::unmix, by the stripe's rims and the wall beside them in frames where it was found.
/// @return nullopt where the stripe has no colour of its own.
class OwnLight {
 public:
  explicit OwnLight(const OwnLightOptions& options = {}) : options_(options) {}
  void Learn(const cv::Mat3b& frame, const camera::Lens& lens, const Stripe& stripe);
  std::optional<cv::Vec3f> Weights() const;

 private:
  OwnLightOptions options_;
  std::vector<cv::Vec3f> walls_, rims_;
};

/// @param mask 255 = never the wall; empty = none.
/// A blown-out stripe is placed by its two edges, each at the same level over its own surroundings; a doubled stripe or
/// a highlight beside it is told by its width and by its neighbours.
/// @return nullopt when no closed or half-closed ring (at least a third of the circle) stands out.
std::optional<Stripe> FindStripe(const cv::Mat3b& frame, const camera::Lens& lens, const cv::Mat1b& mask,
                                 const StripeOptions& options);

}  // namespace vision::relief
