#pragma once

#include <utility>

/// A joint has two pieces, a look a near and a far side of the weld. What there is one of for each stands in one of two
/// types; only a look turns the one into the other.
namespace vision::bore {

enum class Piece { kA, kB };  ///< The -z and the +z piece of the joint.
inline constexpr Piece kBothPieces[] = {Piece::kA, Piece::kB};

template <class T>
struct Pieces {
  T a, b;
  T& operator[](Piece piece) { return piece == Piece::kA ? a : b; }
  const T& operator[](Piece piece) const { return piece == Piece::kA ? a : b; }
};
template <class T>
Pieces(T, T) -> Pieces<T>;

/// `make(piece)` for each.
template <class Make>
auto OfEachPiece(Make make) {
  return Pieces{make(Piece::kA), make(Piece::kB)};
}

template <class T>
struct NearFar {
  T near, far;
  /// @param near_piece Whose side of the weld the look has near.
  Pieces<T> ByPiece(Piece near_piece) const {
    return near_piece == Piece::kA ? Pieces<T>{near, far} : Pieces<T>{far, near};
  }
};
template <class T>
NearFar(T, T) -> NearFar<T>;

}  // namespace vision::bore
