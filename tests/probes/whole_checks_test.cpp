// Each fault of a whole trace fires on a made run and stays silent on a near one. No outside figures.
#include "probes/whole_checks.h"

#include "probes/checked.h"

#include "steam/saturation.h"

#include <doctest/doctest.h>

#include <random>
#include <utility>

using namespace coldbag;
using namespace coldbag::test;

namespace {

constexpr std::size_t bag = 1;
constexpr std::size_t steam = 3;

MadeReadings usual() {
  return made_readings({});
}

// The steam's probe again, read by a probe of its own.
std::vector<double> in_the_steam(unsigned seed = 99) {
  MadePlan plan;
  plan.seed = seed;
  return made_readings(plan).steam();
}

FaultEffect effect_of(const std::vector<Fault>& faults, const std::string& kind) {
  for (const Fault& fault : faults)
    if (fault.kind == kind) return fault.effect;
  return FaultEffect::told;
}

void check_only(const MadeReadings& made, std::size_t probe, const std::string& kind, FaultEffect effect) {
  const auto faults = all_faults(made);
  CAPTURE(kind);
  CHECK(has_kind(faults[probe], kind));
  CHECK(effect_of(faults[probe], kind) == effect);
  for (std::size_t i = 0; i < faults.size(); ++i)
    if (i != probe) CHECK(kinds(faults[i]) == "");
}

double between(std::mt19937_64& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}

} // namespace

TEST_CASE("two hundred clean runs have no fault") {
  std::mt19937_64 random(17);
  const double intervals_s[] = {10, 60, 60, 120, 300, 900, 1800};
  const double resolutions_K[] = {0.1, 0.2, 0.0625, 0.5};
  for (unsigned i = 0; i < 200; ++i) {
    MadePlan plan;
    plan.seed = i;
    plan.interval_s = intervals_s[i % 7];
    plan.resolution_K = resolutions_K[random() % 4];
    plan.noise_K = between(random, 0.1, 0.3);
    plan.bags = 1 + static_cast<int>(random() % 4);
    plan.hours = between(random, 7, 16);
    plan.steam_off_h = plan.hours * between(random, 0.7, 1.1);
    plan.rest_min = between(random, 0, 40);
    plan.start_degC = between(random, -5, 35);
    plan.steam_degC = between(random, 68, 122);
    plan.come_up_min = between(random, 4, 60);
    plan.bag_min = between(random, 25, 120);
    plan.wave_K = between(random, 0.25, 1);
    plan.wave_min = between(random, 3, 15);
    MadeReadings made = made_readings(plan);
    if (random() % 4 == 0) { // the log begins when all is hot already
      const auto from = static_cast<std::ptrdiff_t>(made.time_s.size() / 4);
      const double start_s = made.time_s[static_cast<std::size_t>(from)];
      made.time_s.erase(made.time_s.begin(), made.time_s.begin() + from);
      for (double& t : made.time_s)
        t -= start_s;
      for (auto& column : made.degC)
        column.erase(column.begin(), column.begin() + from);
    }
    const auto faults = all_faults(made);
    CAPTURE(i);
    CAPTURE(plan.interval_s);
    CAPTURE(plan.resolution_K);
    for (const auto& list : faults)
      CHECK(kinds(list) == "");
  }
}

TEST_CASE("a probe that drifts hotter than its steam is not relied on, one that drifts colder is told") {
  const auto drifting = [](double K) {
    MadeReadings made = usual();
    for (std::size_t row = 0; row < made.time_s.size(); ++row)
      made.degC[bag][row] = rounded(
          made.degC[bag][row] + K * static_cast<double>(row) / static_cast<double>(made.time_s.size()), 0.1);
    return made;
  };
  check_only(drifting(6), bag, "drift", FaultEffect::probe_not_relied_on);
  check_only(drifting(-6), bag, "drift", FaultEffect::told);
  CHECK(count_faults(all_faults(drifting(1.5))) == 0);
  CHECK(count_faults(all_faults(drifting(-1.5))) == 0);
}

TEST_CASE("a steam probe that reads low is told, and its bags stay") {
  MadeReadings made = usual();
  for (std::size_t row = 0; row < made.time_s.size(); ++row)
    made.steam()[row] = rounded(made.steam()[row] - 5 * std::min(1.0, static_cast<double>(row) / 300), 0.1);
  const auto faults = all_faults(made);
  CHECK(has_kind(faults[steam], "drift"));
  CHECK(effect_of(faults[steam], "drift") == FaultEffect::told);
  for (std::size_t i = 0; i < steam; ++i)
    CHECK(faults[i].empty());
}

TEST_CASE("a bag without lag was never in a bag, one with little lag was") {
  MadeReadings made = usual();
  made.degC[bag] = in_the_steam();
  check_only(made, bag, "never_in_bag", FaultEffect::probe_not_relied_on);
  MadePlan jar;
  jar.bag_min = 12;
  CHECK(count_faults(all_faults(made_readings(jar))) == 0);
}

TEST_CASE("a probe that comes out of its bag is seen by its jump, or by how it cools") {
  const std::vector<double> space = in_the_steam();
  MadeReadings early = usual();
  std::copy(space.begin() + 80, space.end(), early.degC[bag].begin() + 80);
  check_only(early, bag, "pulled_out", FaultEffect::stretch_not_credited);
  MadeReadings late = usual();
  std::copy(space.begin() + 500, space.end(), late.degC[bag].begin() + 500);
  check_only(late, bag, "pulled_out", FaultEffect::probe_not_relied_on);
  MadeReadings to_room = usual();
  std::fill(to_room.degC[bag].begin() + 500, to_room.degC[bag].end(), 24.0);
  const auto faults = all_faults(to_room);
  CHECK(has_kind(faults[bag], "pulled_out"));
  CHECK(faults[0].empty());
}

TEST_CASE("a bag that leads the vessel has changed columns with it, and neither is relied on") {
  MadeReadings made = usual();
  std::swap(made.degC[bag], made.degC[steam]);
  const auto faults = all_faults(made);
  CHECK(effect_of(faults[bag], "exchanged_columns") == FaultEffect::probe_not_relied_on);
  CHECK(effect_of(faults[steam], "exchanged_columns") == FaultEffect::probe_not_relied_on);
  CHECK(faults[0].empty());
  CHECK(faults[2].empty());
}

TEST_CASE("a value that stands at the top of what the recorder can show is a ceiling") {
  MadeReadings made = usual();
  for (double& degC : made.degC[bag])
    degC = std::min(degC, 92.0);
  check_only(made, bag, "at_ceiling", FaultEffect::stretch_not_credited);
  MadeReadings above = usual();
  for (double& degC : above.degC[bag])
    degC = std::min(degC, 125.0);
  CHECK(count_faults(all_faults(above)) == 0);
}

TEST_CASE("a bag that stays at the boiling point under hotter steam is told") {
  MadePlan plan;
  plan.steam_degC = 121;
  MadeReadings made = made_readings(plan);
  MadeReadings clean = made;
  std::mt19937_64 random(4);
  std::normal_distribution<double> noise(0, 0.15);
  for (double& degC : made.degC[bag])
    if (degC > 100) degC = rounded(100 + noise(random), 0.1);
  const auto faults = all_faults(made);
  CHECK(effect_of(faults[bag], "flat_at_boiling") == FaultEffect::told);
  CHECK(has_kind(faults[bag], "flat_at_boiling"));
  CHECK(count_faults(all_faults(clean)) == 0);
}

TEST_CASE("a bag far behind its like is told, one a little behind is not") {
  for (const double bag_min : {150.0, 60.0}) {
    MadeReadings made = usual();
    MadePlan slow;
    slow.seed = 7;
    slow.bag_min = bag_min;
    made.degC[bag] = made_readings(slow).degC[0];
    if (bag_min > 100)
      check_only(made, bag, "far_behind", FaultEffect::told);
    else
      CHECK(count_faults(all_faults(made)) == 0);
  }
}

TEST_CASE("Fahrenheit written as Celsius and the reverse are seen; a hot or a frozen run is not") {
  MadeReadings hot = usual();
  for (double& degC : hot.degC[bag])
    degC = rounded(degC * 1.8 + 32, 0.1);
  check_only(hot, bag, "wrong_unit", FaultEffect::probe_not_relied_on);
  MadeReadings cold = usual();
  for (auto& column : cold.degC)
    for (double& degC : column)
      degC = rounded((degC - 32) / 1.8, 0.1);
  const auto faults = all_faults(cold);
  for (const auto& list : faults)
    CHECK(kinds(list) == "wrong_unit");
  MadePlan steep;
  steep.steam_degC = 134;
  CHECK(count_faults(all_faults(made_readings(steep))) == 0);
  MadePlan frozen;
  frozen.start_degC = -8;
  frozen.steam_degC = 75;
  CHECK(count_faults(all_faults(made_readings(frozen))) == 0);
}

TEST_CASE("where the vessel is known, a plateau far over what it can be is Fahrenheit; a dry vessel is not") {
  MadePlan cool; // 60 C, logged as 140
  cool.steam_degC = 58;
  cool.most_offset_K = 0.2;
  MadeReadings made = made_readings(cool);
  for (auto& column : made.degC)
    for (double& degC : column)
      degC = rounded(degC * 1.8 + 32, 0.1);
  CHECK(!has_kind(all_faults(made)[bag], "wrong_unit"));
  for (const auto& list : all_faults(made, 100, 100))
    CHECK(kinds(list) == "wrong_unit");
  for (const auto& list : all_faults(made, 100, 121)) // 136 C may be a plateau where steam has 121 C
    CHECK(!has_kind(list, "wrong_unit"));
  MadePlan dry;
  dry.steam_degC = 134;
  for (const auto& list : all_faults(made_readings(dry), 100, 100))
    CHECK(!has_kind(list, "wrong_unit"));
}

TEST_CASE("a lukewarm log that was warm from its start may be Celsius taken for Fahrenheit: a doubt, told") {
  const auto in_other_unit = [](double start_degC, double steam_degC) {
    MadePlan plan;
    plan.start_degC = start_degC;
    plan.steam_degC = steam_degC;
    MadeReadings made = made_readings(plan);
    for (auto& column : made.degC)
      for (double& degC : column)
        degC = rounded((degC - 32) / 1.8, 0.1);
    return made;
  };
  for (const auto& list : all_faults(in_other_unit(55, 98), 100, 100)) {
    REQUIRE(has_kind(list, "wrong_unit"));
    const auto& fault =
        *std::find_if(list.begin(), list.end(), [](const Fault& one) { return one.kind == "wrong_unit"; });
    CHECK(fault.effect == FaultEffect::told);
    CHECK(fault.variant == "doubt");
    CHECK(within(std::get<double>(fault.values.at("other_degC")), 99, 2.5));
  }
  // What would be hotter than the vessel, or warm all the time, is no run in either unit.
  for (const auto& list : all_faults(in_other_unit(55, 125), 100, 100))
    CHECK(!has_kind(list, "wrong_unit"));
  for (const auto& list : all_faults(in_other_unit(80, 98), 100, 100))
    CHECK(!has_kind(list, "wrong_unit"));
}

TEST_CASE(
    "a bag's probe that never shows another value proves nothing, also where all do and the steam's too") {
  MadeReadings made = usual();
  for (auto& column : made.degC)
    std::fill(column.begin(), column.end(), 97.3);
  const auto faults = all_faults(made);
  for (std::size_t i = 0; i < steam; ++i) {
    const auto& list = faults[i];
    const auto stuck = std::find_if(list.begin(), list.end(), [](const Fault& fault) {
      return fault.kind == "stuck" && fault.effect == FaultEffect::probe_not_relied_on;
    });
    REQUIRE(stuck != list.end());
    CHECK(stuck->variant == "never_moved");
    CHECK(within(std::get<double>(stuck->values.at("stuck_degC")), 97.3, 1e-6));
  }
  // One bag alone; a spike in it is no sign of life; one step of the resolution is.
  MadeReadings one = usual();
  std::fill(one.degC[bag].begin(), one.degC[bag].end(), 97.3);
  one.degC[bag][400] = 20;
  CHECK(has_kind(all_faults(one)[bag], "stuck"));
  MadeReadings quiet = usual();
  for (auto& column : quiet.degC)
    std::fill(column.begin(), column.end(), 97.3);
  for (std::size_t row = 0; row < quiet.time_s.size(); ++row)
    if (row % 50 < 25) quiet.degC[bag][row] = 97.2;
  CHECK(!has_kind(all_faults(quiet)[bag], "stuck"));
}

TEST_CASE("the later of two equal bags is not relied on; a bag that equals the steam and the steam are not") {
  MadeReadings made = usual();
  made.degC[bag] = made.degC[0];
  check_only(made, bag, "copied", FaultEffect::probe_not_relied_on);
  MadeReadings with_steam = usual();
  with_steam.steam() = with_steam.degC[bag];
  const auto faults = all_faults(with_steam);
  CHECK(has_kind(faults[bag], "copied"));
  CHECK(has_kind(faults[steam], "copied"));
  MadePlan coarse; // two bags alike but for their noise
  coarse.resolution_K = 0.5;
  coarse.most_offset_K = 0;
  CHECK(count_faults(all_faults(made_readings(coarse))) == 0);
}

TEST_CASE("a curve without noise and without steps is told, a rounded one is not") {
  MadePlan plan;
  plan.noise_K = 0;
  plan.resolution_K = 0;
  plan.wave_K = 0;
  MadeReadings made = usual();
  made.degC[bag] = made_readings(plan).degC[bag];
  check_only(made, bag, "too_smooth", FaultEffect::told);
  plan.resolution_K = 0.1;
  made.degC[bag] = made_readings(plan).degC[bag];
  CHECK(count_faults(all_faults(made)) == 0);
}

TEST_CASE("a probe hotter than its pressure allows is not relied on; where all are, the gauge is doubted") {
  const auto judged = [](double bag_K, double all_K, bool dumped) {
    MadeReadings made;
    ThinTrace pressure;
    std::vector<ThinTrace> thin(3);
    std::mt19937_64 random(8);
    std::normal_distribution<double> noise(0, 0.15);
    for (int row = 0; row < 240; ++row) {
      const double t = row * 60.0;
      // 200 kPa, or falling by 10 kPa a minute from the second hour
      const double Pa = 200e3 - (dumped && row > 120 ? std::min(100e3, (row - 120) * 10e3) : 0);
      const double hot_degC = saturation_temperature_degC(200e3) - 1;
      pressure.take(t, Pa - 101325, true);
      thin[0].take(t, hot_degC + noise(random) + bag_K + all_K, true);
      thin[1].take(t, hot_degC + noise(random) + all_K, true);
      thin[2].take(t, (dumped ? saturation_temperature_degC(Pa) : hot_degC) + noise(random) + all_K, true);
    }
    RunRecord record;
    record.pressures.push_back({0, 101325, &pressure});
    for (std::size_t i = 0; i < 3; ++i) {
      ProbeRecord& probe = record.probes.emplace_back();
      probe.role = i < 2 ? ProbeRole::bag : ProbeRole::vessel;
      probe.noise_K = 0.15;
      probe.resolution_K = 0.1;
      probe.ku_K = 0.5;
      probe.thin = &thin[i];
    }
    return whole_faults(record, limits());
  };
  const auto one = judged(6, 0, false);
  CHECK(effect_of(one[0], "above_saturation") == FaultEffect::probe_not_relied_on);
  CHECK_FALSE(has_kind(one[1], "above_saturation"));
  const auto all = judged(0, 8, false);
  CHECK(has_kind(all[0], "above_saturation"));
  CHECK(effect_of(all[0], "above_saturation") == FaultEffect::told);
  CHECK_FALSE(has_kind(judged(2, 0, false)[0], "above_saturation"));
  // While the pressure falls a core may well be above saturation: a danger, and no fault of its probe.
  std::vector<ThinTrace> unused;
  ThinTrace falling;
  ThinTrace core;
  for (int row = 0; row < 60; ++row) {
    falling.take(row * 60.0, 200e3 - row * 1500.0, true);
    core.take(row * 60.0, 119, true);
  }
  RunRecord record;
  record.pressures.push_back({0, 0, &falling});
  ProbeRecord& probe = record.probes.emplace_back();
  probe.role = ProbeRole::bag;
  probe.noise_K = probe.resolution_K = 0.1;
  probe.thin = &core;
  CHECK_FALSE(has_kind(whole_faults(record, limits())[0], "above_saturation"));
}

TEST_CASE("a bag that is hot from the first row while the steam is cold, and never moves, is stuck") {
  const auto still_at = [](double degC, double swing_K) {
    MadeReadings made = usual();
    for (std::size_t row = 0; row < made.time_s.size(); ++row)
      made.degC[bag][row] = rounded(degC + (row % 2 == 0 ? swing_K : 0), 0.1);
    return made;
  };
  for (const double swing_K : {0.0, 0.4}) {
    const auto faults = all_faults(still_at(95, swing_K));
    CHECK(has_kind(faults[bag], "stuck"));
    CHECK_FALSE(is_relied_on(faults[bag]));
  }
}
