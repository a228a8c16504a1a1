#pragma once

#include <string>
#include <vector>

/// Which ring of an end view is whose: the end one looks from is the outer ring, everywhere. Paper looks from piece a,
/// so that there piece a is the outer ring; the window may be turned round. The pieces' names stand on the rings.
namespace app::marks {

enum class Side { kA, kB };          ///< Of the joint: piece a (-z, "left" in files), piece b (+z, "right").
enum class Ring { kOuter, kInner };  ///< Of the drawing.
enum class LookFrom { kA, kB };      ///< Looking along +z, or against it.

inline Side SideOf(const std::string& side) { return side == "left" ? Side::kA : Side::kB; }
inline std::string NameInFile(Side side) { return side == Side::kA ? "left" : "right"; }

Side OnRing(Ring ring, LookFrom from);
Ring RingOf(Side side, LookFrom from);

/// What stands on the ring: "a: spool end".
std::string RingName(Side side, const std::string& piece_a, const std::string& piece_b);

/// Where the name stands best: the middle of the stretch of `span_deg` with the fewest busy station lines under it, at
/// the bottom of the drawing (theta 180) where all are alike. `busy` has one flag a station line. Degrees, theta.
double NameAngle(const std::vector<bool>& busy, double span_deg);

/// Where theta stands on the drawing, degrees clockwise from up.
double SeenDeg(double theta_deg, LookFrom from);
/// The other way round.
double ThetaAt(double seen_deg, LookFrom from);

}  // namespace app::marks
