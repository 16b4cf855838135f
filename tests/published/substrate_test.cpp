// Properties of moist substrate against published figures.
#include "substrate/conductivity.h"
#include "substrate/heat_capacity.h"
#include "substrate/vapour.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>

using namespace coldbag;
using coldbag::test::within;

namespace {

const Material& sawdust() {
  static const std::vector<Material> materials = read_materials(TableFiles::built_in());
  return *material_of(materials, "sawdust").material;
}

// Ice and melting play no part where these are used.
constexpr WaterHeat water{-0.5, 2, 333600, 2100, 4190};

Packing at_density(double dry_kg_per_m3, double dry_basis_percent) {
  const double moisture_wb = dry_basis_percent / (100 + dry_basis_percent);
  return pack(sawdust(), dry_kg_per_m3 / (1 - moisture_wb), 1, moisture_wb);
}

} // namespace

// Wood Handbook (FPL-GTR-190, 2010), ch. 4, Glass and Zelinka: cp of dry wood 0.1031 + 0.003867 T kJ/kgK.
TEST_CASE("dry wood holds as much heat as the Wood Handbook's equation says") {
  const Enthalpy dry(sawdust(), water, 0);
  CHECK(within(dry.cp_J_per_kgK(20), 1237, 0.5));
  CHECK(within(dry.cp_J_per_kgK(60), 1391, 0.5));
  CHECK(within(dry.cp_J_per_kgK(100), 1546, 0.5));
}

// The same with the mixture rule (1 - w) cp0 + w 4.19 kJ/kgK, worked out apart from this program.
TEST_CASE("moist wood follows the mixture rule") {
  struct Row {
    double moisture;
    std::array<double, 3> kJ;
  };
  constexpr std::array<Row, 6> rows{{{0.50, {2.713, 2.791, 2.868}},
                                     {0.55, {2.861, 2.931, 3.000}},
                                     {0.60, {3.009, 3.071, 3.132}},
                                     {0.65, {3.156, 3.210, 3.265}},
                                     {0.70, {3.304, 3.350, 3.397}},
                                     {0.75, {3.452, 3.490, 3.529}}}};
  constexpr std::array<double, 3> at_degC{20, 60, 100};
  for (const Row& row : rows) {
    const Enthalpy moist(sawdust(), water, row.moisture);
    for (std::size_t i = 0; i < at_degC.size(); ++i)
      CHECK(within(moist.cp_J_per_kgK(at_degC[i]) / 1000, row.kJ[i], 0.00051));
  }
}

// MacLean 1941 for green wood, from memory: k = S (1.39 + 0.038 M) + 0.165 Btu in/h ft2 F, times 0.14423.
// With the mixture rule it gives the diffusivity that steam-heating tests of wood show, 1.4e-7 to 1.6e-7
// m2/s.
TEST_CASE("conductivity and heat capacity give the diffusivity of wood in steam") {
  struct Row {
    double specific_gravity, percent, k, diffusivity;
  };
  for (const Row& row :
       {Row{0.5, 80, 0.343, 1.47e-7}, Row{0.35, 100, 0.286, 1.49e-7}, Row{0.5, 50, 0.261, 1.53e-7}}) {
    const Packing packing = at_density(1000 * row.specific_gravity, row.percent);
    const double k = base_conductivity_W_per_mK(sawdust(), packing);
    CHECK(within(k, row.k, 0.0006));
    const Enthalpy moist(sawdust(), water, packing.moisture_wb);
    const double density = packing.dry_kg_per_m3 / (1 - packing.moisture_wb);
    CHECK(within(k / density / moist.cp_J_per_kgK(20), row.diffusivity, 0.05e-7));
  }
}

// Stefan diffusion across a wet air gap at 101.325 kPa, D = 2.17e-5 (T/273.15)^1.88 m2/s (from memory), steam
// by IF97; worked out apart from this program.
TEST_CASE("vapour adds the conductivity of Stefan diffusion") {
  struct Row {
    double degC, k;
  };
  const VapourTable vapour;
  for (const Row& row : {Row{25, 0.089}, Row{45, 0.257}, Row{60, 0.556}, Row{70, 0.957}, Row{80, 1.80},
                         Row{90, 4.38}, Row{95, 9.6}, Row{98, 25}}) {
    const auto node = static_cast<std::size_t>((row.degC - VapourTable::lowest_degC) / VapourTable::step_K);
    CHECK(within(vapour.added_W_per_mK(node, 101325, 1e-9), row.k, 0, 0.05));
  }
  // Moist soil grew 2.2 to 3.0 times from 25 to 45 C at its best filling (Sepaskhah and Boersma, Soil Sci.
  // Soc. Am. J. 43, 1979, abstract). Vapour alone grows like this; nothing is tuned to the soils.
  const auto node = [](double degC) {
    return static_cast<std::size_t>((degC - VapourTable::lowest_degC) / VapourTable::step_K);
  };
  const double growth =
      vapour.added_W_per_mK(node(45), 101325, 0.03) / vapour.added_W_per_mK(node(25), 101325, 0.03);
  MESSAGE("vapour term, 45 C over 25 C: " << growth << "; whole conductivity of moist soils: 2.2 to 3.0");
  CHECK(within(growth, 0.257 / 0.089, 0, 0.02));
}

// The Celsius form of the Hailwood-Horrobin equation (Wood Handbook, Eq. 4-5, from memory). Its Fahrenheit
// form is quoted with 8.4 % for 140 F and a relative humidity of 0.55 (encyclopedia article on equilibrium
// moisture).
TEST_CASE("water activity is the inverse of the sorption equation") {
  CHECK(within(water_activity(8.4), 0.55, 0.003));
  CHECK(water_activity(40) == 1);
  CHECK(water_activity(0) < 1e-9);
}
