#include "substrate/heat_capacity.h"

#include "errors/our_fault.h"

namespace coldbag {

Enthalpy::Enthalpy(const Material& material, const WaterHeat& water, double moisture_wb) {
  our_check(moisture_wb >= 0 && moisture_wb < 1, "moisture lies from 0 to under 1");
  const double dry = 1 - moisture_wb;
  const double slope = dry * material.dry_cp_slope_J_per_kgK2;
  const auto dry_cp = [&](double t_degC) { return dry * material.dry_cp_J_per_kgK + slope * t_degC; };
  const double ice_to = water.freezing_degC - water.freezing_span_K / 2;
  const double water_from = water.freezing_degC + water.freezing_span_K / 2;
  const double melting_cp =
      water.fusion_J_per_kg / water.freezing_span_K + (water.ice_cp_J_per_kgK + water.water_cp_J_per_kgK) / 2;
  // The frozen piece hangs downward from the temperature at which melting begins.
  pieces_[0] = {ice_to, 0, dry_cp(ice_to) + moisture_wb * water.ice_cp_J_per_kgK, slope};
  pieces_[1] = {ice_to, 0, dry_cp(ice_to) + moisture_wb * melting_cp, slope};
  const double span = water_from - ice_to;
  pieces_[2] = {water_from, pieces_[1].c * span + slope * span * span / 2,
                dry_cp(water_from) + moisture_wb * water.water_cp_J_per_kgK, slope};
  const double at_zero = J_per_kg(0);
  for (Piece& piece : pieces_)
    piece.at_J_per_kg -= at_zero;
}

} // namespace coldbag
