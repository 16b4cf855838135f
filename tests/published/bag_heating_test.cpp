// Bags and wood in steam: the model against what was measured and what the trade knows.
#include "heatup/bag_model.h"
#include "kinetics/lethality.h"
#include "support/approx.h"
#include "support/made_bag.h"

#include <doctest/doctest.h>

using namespace coldbag;
using namespace coldbag::test;

namespace {

BagHistory heat(const BagBody& body, const SteamTrace& steam, double start_degC = 20) {
  return heat_bag(body, {}, steam, heating_tables().vapour,
                  {.from_s = steam.from_s(), .to_s = steam.to_s(), .start_degC = start_degC, .fineness = {}});
}

double hours_to(const BagBody& body, double steam_degC, double core_degC) {
  return core_reaches_s(heat(body, steady_steam(steam_degC, 24)), core_degC).value() / 3600;
}

double F_minutes(const BagHistory& history) {
  double sum = 0;
  Reference f0;
  f0.at_degC = 121.1;
  f0.z_K = 10;
  for (std::size_t i = 1; i < history.moments.size(); ++i)
    sum += segment_F_minutes(history.moments[i].time_s - history.moments[i - 1].time_s,
                             history.moments[i - 1].core_degC, history.moments[i].core_degC, f0);
  return sum;
}

} // namespace

// The trade holds bags of 2.3 to 2.7 kg for 2 to 3 h at 121 C, and a handbook has the core near the vessel
// some two hours after the start (Stamets, Growing Gourmet and Medicinal Mushrooms, p. 170): that is what the
// model must explain, and conduction alone does not.
TEST_CASE("vapour explains the two to three hours of practice, conduction alone does not") {
  const double with_vapour = hours_to(tried_body(), 121.1, 119.1);
  BagBody dry = tried_body();
  dry.vapour_share = 0;
  const double without = hours_to(dry, 121.1, 119.1);
  MESSAGE("2.3 kg brick in 121.1 C steam, core within 2 K: " << with_vapour << " h; conduction alone "
                                                             << without << " h");
  CHECK(with_vapour > 2);
  CHECK(with_vapour < 3);
  CHECK(without > 5);
}

TEST_CASE(
    "pressure held at one atmosphere would be optimistic; the pressure that goes with the steam is not") {
  const SteamTrace saturated = steady_steam(121.1, 3);
  const SteamTrace one_atmosphere({{0, 121.1, 101325}, {3 * 3600, 121.1, 101325}});
  BagBody unlimited = tried_body();
  unlimited.is_breathing = false; // or the bag would stop at 100 C
  const double right = F_minutes(heat(tried_body(), saturated));
  const double wrong = F_minutes(heat(unlimited, one_atmosphere));
  MESSAGE("F in 3 h at 121.1 C: " << right << " min; with the pores at one atmosphere " << wrong);
  CHECK(wrong > 2 * right);
}

TEST_CASE("moisture moves the lag by less than five per cent a point, from 40 to 80 %") {
  double before = 0;
  for (int percent = 40; percent <= 80; ++percent) {
    const BagBody body = describe_bag(tried_bag(), {}, percent / 100.0, heating_tables()).body;
    const double lag = hours_to(body, 121.1, 119.1);
    if (before > 0) {
      CAPTURE(percent);
      CHECK(std::abs(lag / before - 1) < 0.05);
    }
    before = lag;
  }
}

TEST_CASE("how much air stays in the pores hardly matters below 3 %") {
  BagBody body = tried_body();
  const double at_3 = hours_to(body, 121.1, 119.1);
  body.air_kept = 0.01;
  CHECK(within(hours_to(body, 121.1, 119.1), at_3, 0, 0.01));
}

TEST_CASE("twice the mass takes about 1.45 times as long with vapour") {
  const BagBody body = tried_body();
  const double ratio = hours_to(heavier(body, 4.6), 121.1, 119.1) / hours_to(body, 121.1, 119.1);
  MESSAGE("twice the mass: " << ratio << " times the lag");
  CHECK(ratio > 1.40);
  CHECK(ratio < 1.55);
}

// Wood Handbook (FPL-GTR-190, 2010), Table 20-4: minutes in saturated steam at 157 F until the centre has
// gone from 60 to 133 F, mean of five species; diffusivity 1.50e-7 m2/s, no vapour: wood's pores are shut.
TEST_CASE("wood in steam heats as the Forest Products Laboratory measured it") {
  struct Row {
    double thick_inch, wide_inch, minutes;
  };
  constexpr double start_degC = (60 - 32) / 1.8;
  constexpr double steam_degC = (157 - 32) / 1.8;
  constexpr double centre_degC = (133 - 32) / 1.8;
  // Actual sizes of the nominal 1 x 6, 2 x 6 and 4 x 4.
  for (const Row& row : {Row{1, 6, 13.2}, Row{2, 6, 48.6}, Row{4, 4, 108.8}}) {
    BagBody board =
        constant_body(BagForm::brick, {2.0, row.thick_inch * 0.0254 / 2, row.wide_inch * 0.0254 / 2}, 1);
    board.film_W_per_m2K.fill(1e5); // condensing steam on bare wood
    board.conductivity_W_per_mK = 1.5e-7 * board.density_kg_per_m3 * 3000;
    const BagHistory history = heat(board, steady_steam(steam_degC, 4), start_degC);
    const double minutes = core_reaches_s(history, centre_degC).value() / 60;
    MESSAGE(row.thick_inch << " x " << row.wide_inch << " inch: " << minutes << " min, measured "
                           << row.minutes);
    CHECK(within(minutes, row.minutes, 0, 0.12));
  }
}
