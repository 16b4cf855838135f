// The heat a kilogram of moist substrate holds: dry matter, water or ice, and the heat of melting.
#pragma once

#include "substrate/material.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace coldbag {

/// Figures of bag-heating.csv.
struct WaterHeat {
  double freezing_degC = 0;   ///< middle of the range in which the water melts
  double freezing_span_K = 0; ///< its width
  double fusion_J_per_kg = 0; ///< heat of melting
  double ice_cp_J_per_kgK = 0;
  double water_cp_J_per_kgK = 0;
  bool operator==(const WaterHeat&) const = default;
};

/// Enthalpy of moist substrate against temperature, J/kg of the whole, 0 at 0 C. Three pieces (frozen,
/// melting, thawed), each a parabola and all joined, so that the way back is exact. Mixture rule: (1 - w) dry
/// matter + w water (Wood Handbook, FPL-GTR-190, 2010, ch. 4; guarded by tests/published/substrate_test.cpp).
/// Holds from -40 to 200 C; the way back has no limits.
class Enthalpy {
 public:
  /// moisture_wb: 0 to under 1 (checked).
  Enthalpy(const Material& material, const WaterHeat& water, double moisture_wb);

  [[nodiscard]] double J_per_kg(double t_degC) const {
    const Piece& piece = piece_at_degC(t_degC);
    const double over = t_degC - piece.from_degC;
    return piece.at_J_per_kg + over * (piece.c + piece.slope * over / 2);
  }
  /// Slope, J/kgK.
  [[nodiscard]] double cp_J_per_kgK(double t_degC) const {
    const Piece& piece = piece_at_degC(t_degC);
    return piece.c + piece.slope * (t_degC - piece.from_degC);
  }
  [[nodiscard]] double degC(double J_per_kg) const {
    const Piece& piece = J_per_kg >= pieces_[2].at_J_per_kg   ? pieces_[2]
                         : J_per_kg >= pieces_[1].at_J_per_kg ? pieces_[1]
                                                              : pieces_[0];
    return on_piece_degC(piece, J_per_kg);
  }
  /// From so much heat on nothing is frozen, and there thawed_degC is degC without asking which piece it is.
  [[nodiscard]] double thawed_J_per_kg() const { return pieces_[2].at_J_per_kg; }
  [[nodiscard]] double thawed_degC(double J_per_kg) const { return on_piece_degC(pieces_[2], J_per_kg); }

 private:
  /// at + c (t - from) + slope (t - from)^2 / 2
  struct Piece {
    double from_degC = 0;
    double at_J_per_kg = 0;
    double c = 0;
    double slope = 0;
  };
  [[nodiscard]] static double on_piece_degC(const Piece& piece, double J_per_kg) {
    const double over_J = J_per_kg - piece.at_J_per_kg;
    // The root near zero of slope x^2/2 + c x = over_J, in the form that loses no digits and allows slope 0.
    const double root = std::sqrt(std::max(piece.c * piece.c + 2 * piece.slope * over_J, 0.0));
    return piece.from_degC + 2 * over_J / (piece.c + root);
  }
  [[nodiscard]] const Piece& piece_at_degC(double t_degC) const {
    if (t_degC >= pieces_[2].from_degC) return pieces_[2];
    return t_degC >= pieces_[1].from_degC ? pieces_[1] : pieces_[0];
  }
  std::array<Piece, 3> pieces_;
};

} // namespace coldbag
