#pragma once

#include <Eigen/Core>
#include <cmath>
#include <numbers>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/camera/lens.h"
#include "vision/relief/light_stripe.h"

namespace vision::relief {

/// A frame taken apart: its light, and how much it leans towards the stripe's own colour.
struct LightParts {
  cv::Mat1f light;   ///< Luminance or the brightest colour, linear, 0 to 1.
  cv::Mat1f own;     ///< The stripe's own light (StripeOptions::unmix), 0 to 1; empty where it is not known.
  cv::Mat2f colour;  ///< Cr and Cb less their middle, codes.
  cv::Mat1f least;   ///< Of the three channels the darkest, linear: near 1 is blown out in all, and no colour tells.
};

/// @param unmix, by_brightest As StripeOptions.
LightParts PartsOf(const cv::Mat3b& frame, const std::optional<cv::Vec3f>& unmix = std::nullopt,
                   bool by_brightest = false);

/// A picture of the neighbourhood of a circle: columns are azimuth, rows are slope outward.
struct Ribbon {
  cv::Mat1f light;   ///< Linear, 0 to 1; -1 where the lens does not see.
  cv::Mat1f own;     ///< As LightParts; -1 where the lens does not see.
  cv::Mat2f colour;  ///< As LightParts.
  cv::Mat1f least;   ///< As LightParts.
  Eigen::Vector2d centre{0, 0};
  double from = 0, step = 0;  ///< Slope of row 0 and per row.
  double px_per_row = 0.2;

  double At(double row) const { return from + row * step; }
  Eigen::Vector2d SlopeOf(int column, double row) const {
    const double phi = 2 * std::numbers::pi * column / light.cols;
    return centre + At(row) * Eigen::Vector2d(std::cos(phi), std::sin(phi));
  }
};

/// Source pixels per unit of slope, near this slope.
double PxPerSlope(const camera::Lens& lens, double slope);

Ribbon RibbonAround(const LightParts& parts, const camera::Lens& lens, const cv::Mat1b& mask, Eigen::Vector2d centre,
                    double from, double to, int columns, double px_per_row);

/// Row of the narrow bright band in one column, by what stands over both sides at `half_px` distance.
struct Candidate {
  int row = -1;
  float response = 0;
};

/// Weakens whatever is not of the stripe's colour, where the stripe has one: how far each place lies off the wall's
/// usual colour, the rim of a blown-out stripe included. Lamps that glint on the bead are as bright as a stripe.
void WeighByColour(Ribbon& ribbon, const StripeTraceOptions& o);

/// The stripe's colour in the place of light, for a stripe that lies beside something brighter: how far each place lies
/// off the wall's usual colour, 0 to 1. @return false where the stripe has no colour of its own; nothing is changed.
bool ColourForLight(Ribbon& ribbon, const StripeTraceOptions& o);

Candidate NarrowestBand(const Ribbon& ribbon, int column, int from, int to, double half_px);

/// The `most` best of them that lie `half_px` or more apart, best first.
std::vector<Candidate> BrightBands(const Ribbon& ribbon, int column, int from, int to, double half_px, int most);

/// The stripe followed around a ribbon that holds it (light_trace.cpp).
Stripe TraceStripe(const Ribbon& ribbon, double circle_radius, const StripeOptions& options);

}  // namespace vision::relief
