#pragma once

#include <vector>

#include "vision/bore/bore.h"
#include "vision/relief/light.h"
#include "vision/relief/light_stripe.h"

/// From the stripe's edges in posed frames to heights.
namespace vision::relief {

/// One frame's stripe with its pose.
struct Cut {
  Stripe stripe;
  bore::BoreFromCam pose;
  double u_mm = 0;  ///< Of the cut against the cuts beside it (pose).
};

/// A place on the surface.
struct CutPoint {
  double theta_deg = 0, z_mm = 0, h_mm = 0;
  bool valid = false;
};

/// The middles of one cut's stripe (harmonic mean of its edges; NaN lost ones left out), one a stripe column.
std::vector<CutPoint> MiddlesOf(const Cut& cut, const LightPlane& plane, double radius_mm);

/// Half the light's depth between the levels at which the edges are taken, mm, as the stripe's width on bare wall tells
/// it. @param on_wall Is this place bare wall?
double HalfDepth(const std::vector<Cut>& cuts, const LightPlane& plane, double radius_mm, double weld_z_mm,
                 double clear_mm);

/// Each edge is a cut `half_depth_mm` ahead of the plane of light (inner edge) or before it (outer). Both kinds make a
/// relief of their own; where both know a cell their mean is taken, in which an error of the half depth drops out.
Relief ReliefFromCuts(const std::vector<Cut>& cuts, const LightPlane& plane, double radius_mm, double half_depth_mm,
                      const LightOptions& options);

}  // namespace vision::relief
