#include <gtest/gtest.h>

#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

#include "vision/tint/tint.h"

/// Physics as the witness: the colours of a growing oxide film on steel from thin-film interference (Fresnel and Airy,
/// M. Born and E. Wolf, Principles of Optics, ch. 1.6), seen through the CIE 1931 observer as approximated by C. Wyman,
/// P.-P. Sloan and P. Shirley, "Simple Analytic Approximations to the CIE XYZ Color Matching Functions", JCGT 2 (2013),
/// multi-lobe fit. Optical constants n = 2.4 - 0.1i (oxide) and 2.9 - 3.1i (iron, near 550 nm) are from memory.
namespace {

using vision::tint::Shade;

double Lobe(double l, double middle, double below, double above) {
  const double t = (l - middle) * (l < middle ? below : above);
  return std::exp(-0.5 * t * t);
}
cv::Vec3d Observer(double l) {
  return {0.362 * Lobe(l, 442.0, 0.0624, 0.0374) + 1.056 * Lobe(l, 599.8, 0.0264, 0.0323) -
              0.065 * Lobe(l, 501.1, 0.0490, 0.0382),
          0.821 * Lobe(l, 568.8, 0.0213, 0.0247) + 0.286 * Lobe(l, 530.9, 0.0613, 0.0322),
          1.217 * Lobe(l, 437.0, 0.0845, 0.0278) + 0.681 * Lobe(l, 459.0, 0.0385, 0.0725)};
}

double Reflectance(double film_nm, double lambda_nm) {
  using C = std::complex<double>;
  const C film(2.4, -0.1), metal(2.9, -3.1);
  const C above = (1.0 - film) / (1.0 + film), below = (film - metal) / (film + metal);
  const C turn = std::exp(C(0, -4 * std::numbers::pi) * film * film_nm / lambda_nm);
  return std::norm((above + below * turn) / (1.0 + above * below * turn));
}

/// Linear sRGB (IEC 61966-2-1 matrix), blue first, of the film under equal-energy light balanced to white.
cv::Vec3d FilmColour(double film_nm) {
  cv::Vec3d sum(0, 0, 0), white(0, 0, 0);
  for (double l = 390; l <= 730; l += 5) {
    sum += Reflectance(film_nm, l) * Observer(l);
    white += Observer(l);
  }
  const double x = 0.95047 * sum[0] / white[0], y = sum[1] / white[1], z = 1.08883 * sum[2] / white[2];
  return {0.0557 * x - 0.2040 * y + 1.0570 * z, -0.9689 * x + 1.8758 * y + 0.0415 * z,
          3.2406 * x - 1.5372 * y - 0.4986 * z};
}

Shade ShadeAt(double film_nm) {
  const cv::Vec2d c = vision::tint::ChromaOf(FilmColour(film_nm)) - vision::tint::ChromaOf(FilmColour(0));
  return vision::tint::ShadeOf(c[0], c[1], vision::tint::TintOptions().least_chroma);
}

TEST(FilmColour, AGrowingOxideFilmGoesThroughTheShadesInOrderOnce) {
  std::vector<Shade> order;
  for (double film_nm = 0; film_nm <= 80; film_nm += 1)
    if (order.empty() || order.back() != ShadeAt(film_nm)) order.push_back(ShadeAt(film_nm));
  EXPECT_EQ(order, (std::vector<Shade>{Shade::kClean, Shade::kStraw, Shade::kBluePurple}));
}

/// Why a colourless band between toe and blue is not called clean: a thick film is pale again.
TEST(FilmColour, AThickFilmLosesItsColourAgain) { EXPECT_EQ(ShadeAt(90), Shade::kClean); }

}  // namespace
