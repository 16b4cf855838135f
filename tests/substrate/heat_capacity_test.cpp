#include "substrate/heat_capacity.h"
#include "support/approx.h"

#include <doctest/doctest.h>

using namespace coldbag;
using coldbag::test::within;

namespace {
Enthalpy moist(double moisture_wb) {
  static const std::vector<Material> materials = read_materials(TableFiles::built_in());
  return Enthalpy(*material_of(materials, "sawdust").material, WaterHeat{-0.5, 2, 333600, 2100, 4190},
                  moisture_wb);
}
} // namespace

TEST_CASE("temperature comes back from the heat it took") {
  for (const double moisture : {0.0, 0.3, 0.62, 0.9}) {
    const Enthalpy enthalpy = moist(moisture);
    for (double t = -40; t <= 200; t += 0.37)
      CHECK(within(enthalpy.degC(enthalpy.J_per_kg(t)), t, 1e-9));
  }
}

TEST_CASE("heat rises without a jump, and melting takes its share") {
  const Enthalpy enthalpy = moist(0.6);
  CHECK(within(enthalpy.J_per_kg(0), 0, 1e-9));
  for (const double edge : {-1.5, 0.5})
    CHECK(within(enthalpy.J_per_kg(edge + 1e-9), enthalpy.J_per_kg(edge - 1e-9), 0.01));
  const double melting = enthalpy.J_per_kg(0.5) - enthalpy.J_per_kg(-1.5);
  const double without = 2 * (0.4 * (1159.4 - 3.867 * 0.5) + 0.6 * (2100 + 4190) / 2);
  CHECK(within(melting, 0.6 * 333600 + without, 1));
}

TEST_CASE("its slope is the heat capacity") {
  const Enthalpy enthalpy = moist(0.62);
  for (const double t : {-20.0, -0.5, 5.0, 60.0, 121.0})
    CHECK(within((enthalpy.J_per_kg(t + 1e-3) - enthalpy.J_per_kg(t - 1e-3)) / 2e-3, enthalpy.cp_J_per_kgK(t),
                 0, 1e-5));
}
